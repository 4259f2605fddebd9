/* SPDX-License-Identifier: MIT */
#include "base/field.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

static const void *place(const bv_field *field, const void *base) {
  return (const char *) base + field->offset;
}

static void *target_of(const bv_field *field, void *base) {
  return (char *) base + field->offset;
}

const bv_field *bv_field_find(bv_fields fields, const char *name) {
  const bv_field *end = fields.list + fields.count;
  for (const bv_field *field = fields.list; field < end; field++)
    if (strcmp(field->name, name) == 0)
      return field;
  return NULL;
}

const char *bv_field_nearest(bv_fields fields, const char *name) {
  bv_nearest search = bv_nearest_begin(name);
  for (size_t i = 0; i < fields.count; i++)
    bv_nearest_offer(&search, fields.list[i].name);
  return search.best;
}

double bv_field_number(const bv_field *field, const void *base) {
  switch (field->kind) {
  case BV_NUMBER:
  case BV_WHOLE:
    return *(const double *) place(field, base);
  case BV_WORD:
    return *(const int *) place(field, base);
  case BV_FLAG:
    return *(const bool *) place(field, base) ? 1 : 0;
  default:
    return (double) NAN;
  }
}

/* Most fields hold a double, which is looked up without a call. */
bool bv_field_all_in_range(bv_fields fields, const void *base) {
  const bv_field *end = fields.list + fields.count;
  for (const bv_field *field = fields.list; field < end; field++) {
    double value = field->kind <= BV_WHOLE
                       ? *(const double *) place(field, base)
                       : bv_field_number(field, base);
    if (!(value >= field->lo && value <= field->hi))
      return false;
  }
  return true;
}

const char *bv_field_text(const bv_field *field, const void *base) {
  if (field->kind == BV_TEXT)
    return place(field, base);
  if (field->kind == BV_WORD)
    return field->words[*(const int *) place(field, base)];
  return NULL;
}

void bv_field_set_number(const bv_field *field, void *base, double value) {
  void *target = target_of(field, base);
  switch (field->kind) {
  case BV_NUMBER:
  case BV_WHOLE:
    *(double *) target = value;
    break;
  case BV_WORD:
    *(int *) target = (int) value;
    break;
  case BV_FLAG:
    *(bool *) target = value != 0;
    break;
  default:
    break;
  }
}

void bv_field_copy_text(char *target, const char *text) {
  size_t length = strnlen(text, BV_TEXT_SIZE - 1);
  memcpy(target, text, length);
  target[length] = '\0';
}

bool bv_field_set_text(const bv_field *field, void *base, const char *text) {
  char *target = target_of(field, base);
  if (field->kind == BV_TEXT) {
    bv_field_copy_text(target, text);
    return true;
  }
  if (field->kind != BV_WORD)
    return false;
  for (int i = 0; field->words[i]; i++)
    if (strcmp(field->words[i], text) == 0) {
      *(int *) (void *) target = i;
      return true;
    }
  return false;
}

void bv_field_defaults(bv_fields fields, void *base) {
  for (size_t i = 0; i < fields.count; i++) {
    const bv_field *field = &fields.list[i];
    if (field->kind == BV_NUMBER || field->kind == BV_WHOLE)
      *(double *) target_of(field, base) = field->fallback;
    else if (field->kind == BV_TEXT)
      *(char *) target_of(field, base) = '\0';
    else if (!isnan(field->fallback))
      bv_field_set_number(field, base, field->fallback);
    else
      bv_field_set_number(field, base, 0);
  }
}
