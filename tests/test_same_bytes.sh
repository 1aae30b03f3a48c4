#!/usr/bin/env bash
# Results are the same bytes on every processor: with the variants of the C library that this processor would get switched
# off, whole result files, a sweep, a page and a settings sheet are what they are with them.
set -u
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
off=glibc.cpu.hwcaps=-AVX2,-FMA,-FMA4,-AVX2_Usable,-FMA_Usable,-FMA4_Usable # spelt as in glibc 2.33 and later, and before

# The switch must do something, else equal files say nothing.
cat >logarithms.c <<'END'
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
int main(int count, char **word)
{
    (void)count;
    double sum = 0.0;
    for (int i = 1; i < 100000; i++)
        sum += log(i * atof(word[1])) * exp(-1e-4 * i) * sin(i);
    printf("%a\n", sum);
}
END
"$DRUPELET_CC" -O1 -o logarithms logarithms.c -lm || exit 1
if [ "$(./logarithms 1.37)" = "$(GLIBC_TUNABLES=$off ./logarithms 1.37)" ]; then
    echo "skipped: this C library has nothing to switch off on this processor"
    exit 77
fi

make_all() # in a folder of this name, so that no path tells them apart
(
    mkdir "$1" && cd "$1" || exit 1
    for name in apple-wall-evening-inversion drift-trial vineyard; do
        "$DRUPELET_PROGRAM" run "$DRUPELET_SCENARIOS/$name.yaml" --droplets 4000 --quiet >"$name.txt" || exit 1
    done
    "$DRUPELET_PROGRAM" run "$DRUPELET_SCENARIOS/vineyard.yaml" --droplets 4000 --set run.wind=computed --no-cache \
        --quiet --output computed.h5 >computed.txt || exit 1
    "$DRUPELET_PROGRAM" report vineyard.h5 --output vineyard.html >report.txt 2>&1 || exit 1
    "$DRUPELET_PROGRAM" settings "$DRUPELET_SCENARIOS/vineyard.yaml" >settings.txt || exit 1
    "$DRUPELET_PROGRAM" sweep ../plan.yaml --output sweep.h5 --quiet >sweep.txt || exit 1
)

cat >plan.yaml <<END
scenario: $DRUPELET_SCENARIOS/apple-wall-full-leaf.yaml
design: latin_hypercube
samples: 4
droplets: 2000
factors:
  - name: wind speed
    key: weather.wind_speed
    distribution: log_normal
    mean: 2.5 m/s
    standard_deviation: 1 m/s
    low: 0.5 m/s
    high: 6 m/s
  - name: temperature
    key: weather.temperature
    distribution: normal
    mean: 18 degC
    standard_deviation: 5 K
    low: 5 degC
    high: 32 degC
END
make_all as_it_is || exit 1
GLIBC_TUNABLES=$off make_all switched_off || exit 1
different=0 files=0
for file in as_it_is/*; do
    files=$((files + 1))
    cmp "$file" "switched_off/${file#*/}" >&2 || different=$((different + 1))
done
echo "$files files compared, $different differ"
[ "$files" -ge 11 ] && [ "$different" -eq 0 ]
