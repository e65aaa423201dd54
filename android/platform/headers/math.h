#pragma once

#define INFINITY (__builtin_inff())
#define isnan(x) __builtin_isnan(x)

double fabs(double x);
double log(double x);
