/* work_room.h - one room with its source, between work_room.c and work_room_tables.c. */
#ifndef LW_COMMAND_WORK_ROOM_H
#define LW_COMMAND_WORK_ROOM_H

#include "command/work.h"
#include "physics/ethanol_water.h"
#include "physics/evaporation.h"
#include "physics/room_air.h"

struct room_job {
    struct room_air room;
    double temp_c;
    double molar_mass_g;
    double lel_percent; /* at 25 degC; NaN: not known */
    struct phys_value lel;
    struct phys_value rate; /* g/min */
    double area_m2;
    double spilled_g;             /* of flammable vapour in all; 0: no spill */
    bool at_once;                 /* all of it is in the air at the start */
    const char *unknown;          /* why nothing can be told of this liquid; NULL: all is known */
    struct phys_value saturation; /* vol % over the liquid; of has_models only */
    struct evap_estimate models;
    bool has_models;
};

struct phys_value room_job_percent(const struct room_job *job, struct phys_value g_m3);
/* Time course, mixing factors, and for ethanol the exposure limits. */
void room_job_tables(struct work *w, const struct room_job *job, struct phys_value peak);
bool room_job_draw(struct work *w, const struct room_job *job);
/* work_vapour.c */
void work_models(struct work *w, const struct evap_estimate *e);

#endif
