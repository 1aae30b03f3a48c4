/* sim/scenario/drift.h - the numbers by which drift is told, with their distances downwind of the block in metres: the
 * one list for run.target, the accounts, result files, sweeps, scores and texts. */
#ifndef SCENARIO_DRIFT_H
#define SCENARIO_DRIFT_H

/** GROUND(d): deposit on the ground at d m, mean over 1 m. AIRBORNE(d): what passes d m in the air.
 *  SUM(d): on the ground beyond d m or airborne out of the domain downwind. The ground's distances are those of
 *  published drift tables and of usual buffers; the others are common practice. */
#define SCENARIO_DRIFT(GROUND, AIRBORNE, SUM) \
    GROUND(1) GROUND(3) GROUND(5) GROUND(10) GROUND(15) GROUND(20) GROUND(30) GROUND(50) \
    AIRBORNE(5) AIRBORNE(10) AIRBORNE(20) AIRBORNE(50) SUM(5) SUM(10) SUM(20) SUM(50)

/* Names, as scenarios, files and options have them. */
#define SCENARIO_GROUND_NAME(d) "ground_" #d "_m"
#define SCENARIO_AIRBORNE_NAME(d) "airborne_" #d "_m"
#define SCENARIO_SUM_NAME(d) "drift_sum_" #d "_m"

#define SCENARIO_COUNT_ONE(d) +1
#define SCENARIO_COUNT_NONE(d)
enum {
    SCENARIO_CURVE = 0 SCENARIO_DRIFT(SCENARIO_COUNT_ONE, SCENARIO_COUNT_NONE, SCENARIO_COUNT_NONE),
    SCENARIO_PLANES = 0 SCENARIO_DRIFT(SCENARIO_COUNT_NONE, SCENARIO_COUNT_ONE, SCENARIO_COUNT_NONE),
    SCENARIO_SUMS = 0 SCENARIO_DRIFT(SCENARIO_COUNT_NONE, SCENARIO_COUNT_NONE, SCENARIO_COUNT_ONE),
    SCENARIO_DRIFT_NUMBERS = SCENARIO_CURVE + SCENARIO_PLANES + SCENARIO_SUMS
};

#endif
