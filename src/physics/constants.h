/* Constants shared by the physics modules, each with where it was read. */
#ifndef LW_PHYSICS_CONSTANTS_H
#define LW_PHYSICS_CONSTANTS_H

#define PHYS_ZERO_C_K      273.15      /* exact, definition of the Celsius scale */
#define PHYS_GAS_J_MOL_K   8.314462618 /* CODATA 2018, exact since 2019 */
#define PHYS_ATM_KPA       101.325     /* exact, standard atmosphere */
#define PHYS_ETHANOL_G_MOL 46.069      /* CRC Handbook, Physical Constants (46.068 also printed) */
#define PHYS_WATER_G_MOL   18.0153     /* CRC Handbook */
#define PHYS_AIR_G_MOL     28.964      /* US Standard Atmosphere 1976, dry air */
#define PHYS_US_GALLON_L   3.785411784 /* exact: 231 cubic inches (27 CFR 7.10) */
#define PHYS_POUND_KG      0.45359237  /* exact, international pound */
#define PHYS_FOOT_M        0.3048      /* exact */
#define PHYS_SIXTY_F_C     (140.0 / 9) /* 60 degF, the US gauging temperature (27 CFR 30) */
#define PHYS_REFERENCE_C   20.0        /* reference temperature of OIML R 22 */

/* Unit changes that are exact by definition. */
static inline double phys_c_to_f(double temp_c)
{
    return temp_c * 9.0 / 5.0 + 32.0;
}

static inline double phys_f_to_c(double temp_f)
{
    return (temp_f - 32.0) * 5.0 / 9.0;
}

#endif
