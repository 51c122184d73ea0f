/* base.h - the standard headers every source file may use, then a ban on the functions that
 * overflow, keep hidden state, or let the locale, the clock or the environment reach a number.
 *
 * Include this first in every .c file.  The bans are macros that name an undeclared identifier, so
 * a use is a compile error that says which function it was. */
#ifndef LW_TEXT_BASE_H
#define LW_TEXT_BASE_H

#include <assert.h>
#include <ctype.h>
#include <errno.h>
#include <float.h>
#include <limits.h>
#include <locale.h>
#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define LW_BANNED(fn) lw_banned_function_##fn

#undef strcpy
#define strcpy(a, b) LW_BANNED(strcpy)
#undef strcat
#define strcat(a, b) LW_BANNED(strcat)
#undef strncpy
#define strncpy(a, b, n) LW_BANNED(strncpy)
#undef strncat
#define strncat(a, b, n) LW_BANNED(strncat)
#undef sprintf
#define sprintf(...) LW_BANNED(sprintf)
#undef vsprintf
#define vsprintf(...) LW_BANNED(vsprintf)
#undef strtok
#define strtok(a, b) LW_BANNED(strtok)
#undef gets
#define gets(a) LW_BANNED(gets)
#undef localtime
#define localtime(a) LW_BANNED(localtime)
#undef gmtime
#define gmtime(a) LW_BANNED(gmtime)
#undef ctime
#define ctime(a) LW_BANNED(ctime)
#undef asctime
#define asctime(a) LW_BANNED(asctime)
#undef atoi
#define atoi(a) LW_BANNED(atoi)
#undef atol
#define atol(a) LW_BANNED(atol)
#undef atof
#define atof(a) LW_BANNED(atof)
#undef strtod
#define strtod(a, b) LW_BANNED(strtod)
#undef strtol
#define strtol(a, b, c) LW_BANNED(strtol)
#undef sscanf
#define sscanf(...) LW_BANNED(sscanf)
#undef setlocale
#define setlocale(a, b) LW_BANNED(setlocale)
#undef system
#define system(a) LW_BANNED(system)
#undef popen
#define popen(a, b) LW_BANNED(popen)
#undef rand
#define rand() LW_BANNED(rand)
#undef tmpnam
#define tmpnam(a) LW_BANNED(tmpnam)
/* isalpha() and its family follow the locale: text/utf8.h has the ASCII forms. */
#undef isalpha
#define isalpha(a) LW_BANNED(isalpha)
#undef isalnum
#define isalnum(a) LW_BANNED(isalnum)
#undef isdigit
#define isdigit(a) LW_BANNED(isdigit)
#undef isspace
#define isspace(a) LW_BANNED(isspace)
#undef isupper
#define isupper(a) LW_BANNED(isupper)
#undef islower
#define islower(a) LW_BANNED(islower)
#undef toupper
#define toupper(a) LW_BANNED(toupper)
#undef tolower
#define tolower(a) LW_BANNED(tolower)

#if defined(__GNUC__)
#define LW_PRINTF(fmt, args) __attribute__((format(printf, fmt, args)))
#else
#define LW_PRINTF(fmt, args)
#endif

#define LW_COUNT(array) (sizeof(array) / sizeof((array)[0]))

#endif
