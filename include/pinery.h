/* Pinery: a heated greenhouse, hour by hour through a weather year. The public headers in the order of the data. */
#ifndef PINERY_H
#define PINERY_H

/* clang-format off */
#include "pinery/error.h"
#include "pinery/field.h"
#include "pinery/weather.h"
#include "pinery/devices.h"
#include "pinery/energy.h"
#include "pinery/house.h"
#include "pinery/headings.h"
#include "pinery/ledger.h"
#include "pinery/seen.h"
#include "pinery/strategy.h"
#include "pinery/causes.h"
#include "pinery/run.h"
#include "pinery/advice.h"
#include "pinery/steady.h"
#include "pinery/money.h"
#include "pinery/study.h"
#include "pinery/fit.h"
#include "pinery/report.h"
/* clang-format on */

#endif
