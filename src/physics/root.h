/* Root of a strictly rising or falling function between two bounds. */
#ifndef LW_PHYSICS_ROOT_H
#define LW_PHYSICS_ROOT_H

/* x in [low, high] with function(x, context) == target, by the Illinois form of false position, to
 * the last few bits. NaN when the target is not bracketed. */
double phys_root(double (*function)(double x, const void *context), const void *context,
                 double target, double low, double high);

#endif
