/* Flash point of a mixture of several flammable liquids: a lower bound, and a trade rule. */
#include "text/base.h"

#include "physics/constants.h"
#include "physics/flash.h"
#include "physics/root.h"

#define FLASH_MIN_C        (-80.0)
#define FLASH_MAX_C        400.0
#define BOIL_MIN_C         20.0
#define BOIL_MAX_C         600.0
#define TROUTON_J_MOL_K    88.0    /* Trouton's rule, heat of vaporisation / boiling point in K */
#define LEAST_HVAP_J_MOL   27000.0 /* diethyl ether, about 27.1 kJ/mol at 25 degC; from memory */
#define GOVERNING_FRACTION 0.05    /* coatings practice: "5 % or more" */

struct parts_context {
    const struct flash_part *parts;
    size_t count;
};

static const char *part_refusal(const struct flash_part *part)
{
    if (!isfinite(part->mass_fraction) || !isfinite(part->flash_c) || isinf(part->boil_c))
        return PHYS_NOT_A_NUMBER;
    if (part->mass_fraction <= 0 || part->mass_fraction > 1)
        return "a part of the mixture is outside 0 to 1 by mass";
    if (part->flash_c < FLASH_MIN_C || part->flash_c > FLASH_MAX_C)
        return "a flash point is outside -80 to 400 degC";
    if (!isnan(part->boil_c) && (part->boil_c < BOIL_MIN_C || part->boil_c > BOIL_MAX_C))
        return "a boiling point is outside 20 to 600 degC";
    return NULL;
}

static const char *parts_refusal(const struct flash_part *parts, size_t count)
{
    if (parts == NULL || count == 0 || count > FLASH_PARTS_MAX)
        return "a mixture has 1 to 32 flammable parts";
    double sum = 0;
    for (size_t i = 0; i < count; i++) {
        const char *refusal = part_refusal(&parts[i]);
        if (refusal != NULL)
            return refusal;
        sum += parts[i].mass_fraction;
    }
    return sum > 1 + 1e-9 ? "the parts add up to more than the whole" : NULL;
}

static double heat_of(const struct flash_part *part)
{
    return isnan(part->boil_c) ? LEAST_HVAP_J_MOL
                               : TROUTON_J_MOL_K * (part->boil_c + PHYS_ZERO_C_K);
}

/* log of the sum over parts of P(T)/P(flash) with activity 1; rises with temperature. */
static double log_sum(double temp_c, const void *context)
{
    const struct parts_context *c = context;
    double sum = 0;
    for (size_t i = 0; i < c->count; i++) {
        const struct flash_part *part = &c->parts[i];
        const double step = 1 / (temp_c + PHYS_ZERO_C_K) - 1 / (part->flash_c + PHYS_ZERO_C_K);
        sum += exp(-heat_of(part) / PHYS_GAS_J_MOL_K * step);
    }
    return log(sum);
}

struct phys_value flash_mixture_bound_c(const struct flash_part *parts, size_t count)
{
    const char *refusal = parts_refusal(parts, count);
    if (refusal != NULL)
        return phys_none(refusal);
    double lowest = parts[0].flash_c, least_heat = heat_of(&parts[0]);
    for (size_t i = 1; i < count; i++) {
        lowest = fmin(lowest, parts[i].flash_c);
        least_heat = fmin(least_heat, heat_of(&parts[i]));
    }
    if (count == 1)
        return phys_ok(lowest);
    const struct parts_context context = {parts, count};
    /* there every part gives at most 1/count of its limit; one kelvin for rounding */
    const double coldest =
        1 / (1 / (lowest + PHYS_ZERO_C_K) + log((double)count) * PHYS_GAS_J_MOL_K / least_heat) -
        PHYS_ZERO_C_K - 1;
    const double bound = phys_root(log_sum, &context, 0, coldest, lowest);
    return isfinite(bound) ? phys_ok(bound) : phys_none("the bound could not be found");
}

struct phys_value flash_mixture_lowest_c(const struct flash_part *parts, size_t count)
{
    const char *refusal = parts_refusal(parts, count);
    if (refusal != NULL)
        return phys_none(refusal);
    double lowest = HUGE_VAL;
    for (size_t i = 0; i < count; i++)
        if (parts[i].mass_fraction >= GOVERNING_FRACTION)
            lowest = fmin(lowest, parts[i].flash_c);
    return isfinite(lowest) ? phys_ok(lowest) : phys_none("no flammable part reaches 5 % by mass");
}
