/* The density formula of OIML R 22 and its range. */
#include "text/base.h"

#include "physics/ew_internal.h"

/* Coefficients of OIML R 22 (= Council Directive 76/766/EEC, Annex, 4), compared digit for digit
 * in three independent public transcriptions. A in kg/m3, B and C in kg/(m3 degC^i). */
static const double R22_A[] = {
    9.982012300e+02, -1.929769495e+02, 3.891238958e+02, -1.668103923e+03,
    1.352215441e+04, -8.829278388e+04, 3.062874042e+05, -6.138381234e+05,
    7.470172998e+05, -5.478461354e+05, 2.234460334e+05, -3.903285426e+04,
};

static const double R22_B[] = {
    -2.0618513e-01, -5.2682542e-03, 3.6130013e-05, -3.8957702e-07, 7.1693540e-09, -9.9739231e-11,
};

static const double R22_C1[] = {
    1.693443461530087e-01, -1.046914743455169e+01, 7.196353469546523e+01, -7.047478054272792e+02,
    3.924090430035045e+03, -1.210164659068747e+04, 2.248646550400788e+04, -2.605562982188164e+04,
    1.852373922069467e+04, -7.420201433430137e+03, 1.285617841998974e+03,
};

static const double R22_C2[] = {
    -1.193013005057010e-02, 2.517399633803461e-01, -2.170575700536993e+00, 1.353034988843029e+01,
    -5.029988758547014e+01, 1.096355666577570e+02, -1.422753946421155e+02, 1.080435942856230e+02,
    -4.414153236817392e+01, 7.442971530188783e+00,
};

static const double R22_C3[] = {
    -6.802995733503803e-04, 1.876837790289664e-02,  -2.002561813734156e-01,
    1.022992966719220e+00,  -2.895696483903638e+00, 4.810060584300675e+00,
    -4.672147440794683e+00, 2.458043105903461e+00,  -5.411227621436812e-01,
};

static const double R22_C4[] = {
    4.075376675622027e-06,
    -8.763058573471110e-06,
    6.515031360099368e-06,
    -1.515784836987210e-06,
};

static const double R22_C5[] = {
    -2.788074354782409e-08,
    1.345612883493354e-08,
};

#define R22_TEMP_ORDERS 5 /* n of the formula */
#define COUNT(array)    (sizeof(array) / sizeof((array)[0]))

/* Landolt-Boernstein, Group IV, vol. 8G (2000): rho = a + bT + cT^2 + dT^3. */
#define LANDOLT_A     1162.39
#define LANDOLT_B     (-2.25788)
#define LANDOLT_C     5.30621e-3
#define LANDOLT_D     (-6.63070e-6)
#define LANDOLT_MIN_K 191.0
#define LANDOLT_MAX_K 400.0

static double horner(const double *coefficients, size_t count, double x)
{
    double sum = 0;
    for (size_t i = count; i > 0; i--)
        sum = sum * x + coefficients[i - 1];
    return sum;
}

double ew_rho(double mass_fraction, double temp_c)
{
    const double p = mass_fraction;
    const double d = temp_c - PHYS_REFERENCE_C;
    /* C_i,k starts at p^1 */
    const double by_order[R22_TEMP_ORDERS] = {
        R22_B[0] + p * horner(R22_C1, COUNT(R22_C1), p),
        R22_B[1] + p * horner(R22_C2, COUNT(R22_C2), p),
        R22_B[2] + p * horner(R22_C3, COUNT(R22_C3), p),
        R22_B[3] + p * horner(R22_C4, COUNT(R22_C4), p),
        R22_B[4] + p * horner(R22_C5, COUNT(R22_C5), p),
    };
    double sum = R22_B[R22_TEMP_ORDERS];
    for (size_t i = R22_TEMP_ORDERS; i > 0; i--)
        sum = sum * d + by_order[i - 1];
    return horner(R22_A, COUNT(R22_A), p) + d * sum;
}

const char *ew_density_refusal(double mass_fraction, double temp_c)
{
    if (!isfinite(mass_fraction) || !isfinite(temp_c))
        return PHYS_NOT_A_NUMBER;
    if (mass_fraction < 0 || mass_fraction > 1)
        return EW_REASON_FRACTION;
    if (temp_c < EW_TEMP_MIN_C || temp_c > EW_TEMP_MAX_C)
        return EW_REASON_TEMP;
    if (temp_c < 0) {
        struct phys_value least = ew_least_liquid_vol_percent(temp_c);
        if (!phys_has(least))
            return least.reason;
        if (ew_vol20(mass_fraction) < least.value)
            return EW_REASON_FROZEN;
    }
    return NULL;
}

struct phys_value ew_density_kg_m3(double mass_fraction, double temp_c)
{
    const char *refusal = ew_density_refusal(mass_fraction, temp_c);
    if (refusal != NULL)
        return phys_none(refusal);
    return phys_ok(ew_rho(mass_fraction, temp_c));
}

struct phys_value ew_density_at_vol_percent_kg_m3(double vol_percent, double temp_c)
{
    struct phys_value p = ew_mass_fraction_from_vol_percent(vol_percent);
    return phys_has(p) ? ew_density_kg_m3(p.value, temp_c) : p;
}

struct phys_value ew_ethanol_density_landolt_kg_m3(double temp_c)
{
    if (!isfinite(temp_c))
        return phys_none(PHYS_NOT_A_NUMBER);
    const double t = temp_c + PHYS_ZERO_C_K;
    if (t <= LANDOLT_MIN_K || t >= LANDOLT_MAX_K)
        return phys_none("the temperature is outside 191 to 400 K, the range of the equation");
    return phys_ok(LANDOLT_A + t * (LANDOLT_B + t * (LANDOLT_C + t * LANDOLT_D)));
}
