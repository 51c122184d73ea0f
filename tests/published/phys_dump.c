/* Prints the grid that differential.py computes a second time.
 * One line a point: quantity, its arguments, the value ("none" where it is refused); 17 digits. */
#include <math.h>
#include <stdio.h>

#include "physics/constants.h"
#include "physics/ethanol_water.h"
#include "physics/flash.h"
#include "physics/room_air.h"
#include "physics/vapour.h"

static void line(const char *quantity, double a, double b, struct phys_value v)
{
    if (phys_has(v))
        printf("%s %.17g %.17g %.17g\n", quantity, a, b, v.value);
    else
        printf("%s %.17g %.17g none\n", quantity, a, b);
}

static void density(void)
{
    for (int i = 0; i <= 200; i++)
        for (int t = -22; t <= 42; t++)
            line("density", i / 200.0, t, ew_density_kg_m3(i / 200.0, t));
}

static void strength(void)
{
    for (int i = 0; i <= 1000; i++) {
        double vol = i / 10.0;
        line("mass_fraction_of_vol", vol, 0, ew_mass_fraction_from_vol_percent(vol));
        line("mass_fraction_of_proof", 2 * vol, 0, ew_mass_fraction_from_us_proof(2 * vol));
    }
    for (int rho = 780; rho <= 1000; rho += 2)
        for (int t = 0; t <= 40; t += 5)
            line("mass_fraction_of_density", rho, t,
                 ew_mass_fraction_from_density(rho, t, EW_GLASS_SODA_LIME));
}

static void vapour(void)
{
    for (int i = 0; i <= 100; i++) {
        for (int p = 70; p <= 100; p += 10) {
            struct vap_bubble bubble = vap_bubble_point(i / 100.0, p);
            line("bubble_c", i / 100.0, p, phys_ok(bubble.temp_c));
            line("bubble_y", i / 100.0, p, phys_ok(bubble.vapour_mole_fraction));
        }
        for (int t = -20; t <= 60; t += 5)
            line("partial_kpa", i / 100.0, t, vap_ethanol_partial_kpa(i / 100.0, t));
    }
}

static void flash(void)
{
    for (int i = 0; i <= 200; i++) {
        double vol = i / 2.0;
        line("flash_c", vol, 0, flash_ethanol_water_c(vol));
        struct phys_value p = ew_mass_fraction_from_vol_percent(vol);
        double x = ew_mole_fraction_from_mass_fraction(p.value).value;
        line("flash_model_c", vol, FLASH_PURE_US_C,
             flash_ethanol_water_model_c(x, FLASH_PURE_US_C));
        struct flash_band band = flash_flammable_band(x, FLASH_LEL_US, FLASH_UEL, PHYS_ATM_KPA);
        line("lftl_c", vol, FLASH_LEL_US, band.lower_c);
        line("uftl_c", vol, FLASH_UEL, band.upper_c);
    }
}

/* Source of 8 g/min for 45 min in 24 m3, starting at 2 g/m3. */
static void room(void)
{
    static const double changes[] = {0, 0.5, 2, 6, 20};
    for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
        struct room_air r = {.volume_m3 = 24,
                             .air_changes_h = changes[i],
                             .mixing = 0.4,
                             .source_g_min = 8,
                             .source_min = 45,
                             .start_g_m3 = 2};
        for (int t = 0; t <= 180; t += 3)
            line("room_g_m3", changes[i], t, room_g_m3(&r, t));
        for (int target = 1; target <= 16; target++)
            line("room_minutes_to", changes[i], target, room_minutes_to(&r, target));
    }
}

int main(void)
{
    density();
    strength();
    vapour();
    flash();
    room();
    return ferror(stdout) != 0;
}
