/* sim/base/circle_tables.h - what circle.c looks up. Written by scripts/elementary-tables; do not edit. */
#ifndef BASE_CIRCLE_TABLES_H
#define BASE_CIRCLE_TABLES_H

#define STEPS_PER_RADIAN 0x1.45f306dc9c883p+3
#define STEP_1 0x1.921fb544p-4
#define STEP_2 0x1.0b4611a8p-38
#define STEP_3 -0x1.d9ccebap-70
#define STEP_4 -0x1.fc8f8cbb5bf6cp-101
#define QUARTER_HIGH 0x1.921fb54442d18p+0
#define QUARTER_LOW 0x1.1a62633145c07p-54

/* sin(pi j / 32): the nearest double, and the rest. */
static const struct {
    double high, low;
} SINE[64] = {
    {0.0, 0.0}, {0x1.917a6bc29b42cp-4, -0x1.e2718d26ed688p-60},
    {0x1.8f8b83c69a60bp-3, -0x1.26d19b9ff8d82p-57}, {0x1.294062ed59f06p-2, -0x1.5d28da2c4612dp-56},
    {0x1.87de2a6aea963p-2, -0x1.72cedd3d5a61p-57}, {0x1.e2b5d3806f63bp-2, 0x1.e0d891d3c6841p-58},
    {0x1.1c73b39ae68c8p-1, 0x1.b25dd267f66p-55}, {0x1.44cf325091dd6p-1, 0x1.8076a2cfdc6b3p-57},
    {0x1.6a09e667f3bcdp-1, -0x1.bdd3413b26456p-55}, {0x1.8bc806b151741p-1, -0x1.2c5e12ed1336dp-55},
    {0x1.a9b66290ea1a3p-1, 0x1.9f630e8b6dac8p-60}, {0x1.c38b2f180bdb1p-1, -0x1.6e0b1757c8d07p-56},
    {0x1.d906bcf328d46p-1, 0x1.457e610231ac2p-56}, {0x1.e9f4156c62ddap-1, 0x1.760b1e2e3f81ep-55},
    {0x1.f6297cff75cbp-1, 0x1.562172a361fd3p-56}, {0x1.fd88da3d12526p-1, -0x1.87df6378811c7p-55},
    {0x1p+0, 0.0}, {0x1.fd88da3d12526p-1, -0x1.87df6378811c7p-55},
    {0x1.f6297cff75cbp-1, 0x1.562172a361fd3p-56}, {0x1.e9f4156c62ddap-1, 0x1.760b1e2e3f81ep-55},
    {0x1.d906bcf328d46p-1, 0x1.457e610231ac2p-56}, {0x1.c38b2f180bdb1p-1, -0x1.6e0b1757c8d07p-56},
    {0x1.a9b66290ea1a3p-1, 0x1.9f630e8b6dac8p-60}, {0x1.8bc806b151741p-1, -0x1.2c5e12ed1336dp-55},
    {0x1.6a09e667f3bcdp-1, -0x1.bdd3413b26456p-55}, {0x1.44cf325091dd6p-1, 0x1.8076a2cfdc6b3p-57},
    {0x1.1c73b39ae68c8p-1, 0x1.b25dd267f66p-55}, {0x1.e2b5d3806f63bp-2, 0x1.e0d891d3c6841p-58},
    {0x1.87de2a6aea963p-2, -0x1.72cedd3d5a61p-57}, {0x1.294062ed59f06p-2, -0x1.5d28da2c4612dp-56},
    {0x1.8f8b83c69a60bp-3, -0x1.26d19b9ff8d82p-57}, {0x1.917a6bc29b42cp-4, -0x1.e2718d26ed688p-60},
    {0.0, 0.0}, {-0x1.917a6bc29b42cp-4, 0x1.e2718d26ed688p-60},
    {-0x1.8f8b83c69a60bp-3, 0x1.26d19b9ff8d82p-57}, {-0x1.294062ed59f06p-2, 0x1.5d28da2c4612dp-56},
    {-0x1.87de2a6aea963p-2, 0x1.72cedd3d5a61p-57}, {-0x1.e2b5d3806f63bp-2, -0x1.e0d891d3c6841p-58},
    {-0x1.1c73b39ae68c8p-1, -0x1.b25dd267f66p-55}, {-0x1.44cf325091dd6p-1, -0x1.8076a2cfdc6b3p-57},
    {-0x1.6a09e667f3bcdp-1, 0x1.bdd3413b26456p-55}, {-0x1.8bc806b151741p-1, 0x1.2c5e12ed1336dp-55},
    {-0x1.a9b66290ea1a3p-1, -0x1.9f630e8b6dac8p-60}, {-0x1.c38b2f180bdb1p-1, 0x1.6e0b1757c8d07p-56},
    {-0x1.d906bcf328d46p-1, -0x1.457e610231ac2p-56}, {-0x1.e9f4156c62ddap-1, -0x1.760b1e2e3f81ep-55},
    {-0x1.f6297cff75cbp-1, -0x1.562172a361fd3p-56}, {-0x1.fd88da3d12526p-1, 0x1.87df6378811c7p-55},
    {-0x1p+0, 0.0}, {-0x1.fd88da3d12526p-1, 0x1.87df6378811c7p-55},
    {-0x1.f6297cff75cbp-1, -0x1.562172a361fd3p-56}, {-0x1.e9f4156c62ddap-1, -0x1.760b1e2e3f81ep-55},
    {-0x1.d906bcf328d46p-1, -0x1.457e610231ac2p-56}, {-0x1.c38b2f180bdb1p-1, 0x1.6e0b1757c8d07p-56},
    {-0x1.a9b66290ea1a3p-1, -0x1.9f630e8b6dac8p-60}, {-0x1.8bc806b151741p-1, 0x1.2c5e12ed1336dp-55},
    {-0x1.6a09e667f3bcdp-1, 0x1.bdd3413b26456p-55}, {-0x1.44cf325091dd6p-1, -0x1.8076a2cfdc6b3p-57},
    {-0x1.1c73b39ae68c8p-1, -0x1.b25dd267f66p-55}, {-0x1.e2b5d3806f63bp-2, -0x1.e0d891d3c6841p-58},
    {-0x1.87de2a6aea963p-2, 0x1.72cedd3d5a61p-57}, {-0x1.294062ed59f06p-2, 0x1.5d28da2c4612dp-56},
    {-0x1.8f8b83c69a60bp-3, 0x1.26d19b9ff8d82p-57}, {-0x1.917a6bc29b42cp-4, 0x1.e2718d26ed688p-60}};

/* atan(j / 8), likewise. */
static const struct {
    double high, low;
} ARC[9] = {
    {0.0, 0.0}, {0x1.fd5ba9aac2f6ep-4, -0x1.cd37686760c17p-59},
    {0x1.f5b75f92c80ddp-3, 0x1.8ab6e3cf7afbdp-57}, {0x1.6f61941e4def1p-2, -0x1.c63aae6f6e918p-56},
    {0x1.dac670561bb4fp-2, 0x1.a2b7f222f65e2p-56}, {0x1.1e00babdefeb4p-1, -0x1.928df287a668fp-58},
    {0x1.4978fa3269ee1p-1, 0x1.2419a87f2a458p-56}, {0x1.700a7c5784634p-1, -0x1.8c34d25aadef6p-56},
    {0x1.921fb54442d18p-1, 0x1.1a62633145c07p-55}};

#endif
