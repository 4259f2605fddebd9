/* SPDX-License-Identifier: MIT */
#ifndef BV_BASE_VERSION_H
#define BV_BASE_VERSION_H

#define BV_VERSION "0.1.0"

#endif
