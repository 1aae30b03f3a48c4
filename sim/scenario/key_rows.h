/* sim/scenario/key_rows.h - how the rows of a table of keys are written: that of scenarios (keys.c), that of plans
 * (sweep/plan_keys.c). For files that hold such a table. */
#ifndef SCENARIO_KEY_ROWS_H
#define SCENARIO_KEY_ROWS_H

#include "scenario/keys.h"

/* AIR: the air of a run may depend on the value, NO_AIR: it does not. OFFERED: a page may let its readers change it. */
enum { AIR = 0, NO_AIR = 1, OFFERED = 2 };

/* Where a value goes: into the structure of the scenario or of a list's entry. BY_HAND: a reader of its section takes
 * it apart. _OR: what the list of used values says where the key is left out and that means none. */
#define IN(type, member) .place = offsetof(type, member), .bytes = sizeof((type *)0)->member
#define IN_OR(type, member, absent_) IN(type, member), .absent = absent_
#define BY_HAND .bytes = 0
#define BY_HAND_OR(absent_) .absent = absent_

/* Each line: the path, where the value goes, what it holds, marks, the default and its reason, the meaning. */
#define MARKS(marks) .not_of_air = ((marks)&NO_AIR) != 0, .offered = ((marks)&OFFERED) != 0
#define QUANTITY(path_, place_, kind_, unit_, low_, high_, marks_, otherwise_, reason_, meaning_) \
    {.holds = SCENARIO_IS_QUANTITY, .kind = SCENARIO_##kind_, .unit = unit_, .low = low_, .high = high_, \
     .path = path_, place_, .otherwise = otherwise_, .reason = reason_, .meaning = meaning_, MARKS(marks_)}
#define COUNT(path_, place_, low_, high_, marks_, otherwise_, reason_, meaning_) \
    {.holds = SCENARIO_IS_COUNT, .unit = "", .low = low_, .high = high_, \
     .path = path_, place_, .otherwise = otherwise_, .reason = reason_, .meaning = meaning_, MARKS(marks_)}
#define WORD(path_, place_, words_, marks_, otherwise_, reason_, meaning_) \
    {.holds = SCENARIO_IS_WORD, .unit = "", .words = words_, \
     .path = path_, place_, .otherwise = otherwise_, .reason = reason_, .meaning = meaning_, MARKS(marks_)}
#define NAMED(path_, place_, name_at_, marks_, otherwise_, reason_, meaning_) \
    {.holds = SCENARIO_IS_WORD, .unit = "", .name_at = name_at_, \
     .path = path_, place_, .otherwise = otherwise_, .reason = reason_, .meaning = meaning_, MARKS(marks_)}
#define TEXT(path_, place_, room, marks_, otherwise_, reason_, meaning_) \
    {.holds = SCENARIO_IS_TEXT, .unit = "", .high = (room) - 1, \
     .path = path_, place_, .otherwise = otherwise_, .reason = reason_, .meaning = meaning_, MARKS(marks_)}
#define LIST(path_, place_, of_what, low_, high_, marks_, otherwise_, reason_, meaning_) \
    {.holds = SCENARIO_IS_LIST, .unit = of_what, .low = low_, .high = high_, \
     .path = path_, place_, .otherwise = otherwise_, .reason = reason_, .meaning = meaning_, MARKS(marks_)}

#endif
