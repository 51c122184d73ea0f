/* Shared inside the ethanol_water files only: the bare formulas without range guards. */
#ifndef LW_PHYSICS_EW_INTERNAL_H
#define LW_PHYSICS_EW_INTERNAL_H

#include "physics/constants.h"
#include "physics/ethanol_water.h"
#include "physics/root.h"

#define EW_REASON_FRACTION   "a mass fraction is outside 0 to 1"
#define EW_REASON_VOL        "a strength is outside 0 to 100 % vol"
#define EW_REASON_TEMP       "the temperature is outside -20 to 40 degC, the range of OIML R 22"
#define EW_REASON_FROZEN     "below the freezing line: part of the mixture is ice"
#define EW_REASON_NEGATIVE   "a mass or volume is below zero"
#define EW_REASON_UNREADABLE "no ethanol-water mixture has this density at this temperature"

/* Density, kg/m3, unguarded. */
double ew_rho(double mass_fraction, double temp_c);

/* % vol at 20 degC and at 60 degF, unguarded, from a mass fraction. */
double ew_vol20(double mass_fraction);
double ew_vol60f(double mass_fraction);

/* Reason why density may not be asked for, or NULL. */
const char *ew_density_refusal(double mass_fraction, double temp_c);

#endif
