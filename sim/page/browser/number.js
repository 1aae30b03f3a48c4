/* sim/page/browser/number.js - quantities with their units, metric and US customary, and how they are written.
 *
 * Factors: NIST SP 811, appendix B (memory), gallons and fluid ounces are US ones. Droplet diameters stay in
 * micrometres in both systems, as tip tables of both have them. */
{
  /* kind: [metric unit, factor, US unit, factor, US offset]; what is stored is metric */
  const KINDS = {
    volume_L: ['L', 1, 'gal', 0.264172052],
    per_100_L: ['L', 1, 'gal', 1] /* of 100 L, or of 100 gal: the number stays */,
    rate_L_ha: ['L/ha', 1, 'gal/acre', 1 / 9.35391934691422],
    per_100_m_L: ['L/100 m', 1, 'gal/100 ft', 0.264172052 * 0.3048],
    flow_L_min: ['L/min', 1, 'gal/min', 0.264172052],
    pressure_bar: ['bar', 1, 'psi', 14.503773773],
    travel_km_h: ['km/h', 1, 'mph', 0.621371192],
    wind_m_s: ['m/s', 1, 'mph', 2.236936292],
    speed_m_s: ['m/s', 1, 'ft/s', 1 / 0.3048],
    length_m: ['m', 1, 'ft', 1 / 0.3048],
    small_mm: ['mm', 1, 'in', 1 / 25.4],
    layer_L_m2: ['L/m²', 1, 'gal/100 ft²', 0.264172052 * 9.290304],
    density_kg_m3: ['kg/m³', 1, 'lb/ft³', 0.0624279606],
    tension_mN_m: ['mN/m', 1, 'dyn/cm', 1],
    viscosity_mPa_s: ['mPa·s', 1, 'cP', 1],
    size_um: ['µm', 1, 'µm', 1],
    temperature_degC: ['°C', 1, '°F', 1.8, 32],
    difference_K: ['K', 1, '°F', 1.8],
    air_pressure_hPa: ['hPa', 1, 'inHg', 0.02952998],
    air_m3_s: ['m³/s', 1, 'ft³/min', 2118.880003],
    power_kW: ['kW', 1, 'hp', 1 / 0.745699872],
    fan_rpm: ['rpm', 1, 'rpm', 1],
    per_leaf_uL_cm2: ['µL/cm²', 1, 'gal/acre', 100 / 9.35391934691422],
    count_1_cm2: ['/cm²', 1, '/in²', 6.4516],
    flux_percent_m: ['%/m', 1, '%/ft', 0.3048],
    percent: ['%', 1, '%', 1],
    time_s: ['s', 1, 's', 1],
    angle_deg: ['°', 1, '°', 1],
    plain: ['', 1, '', 1],
  };
  const of = (kind) => {
    const k = KINDS[kind];
    return page.state.units === 'us'
      ? { unit: k[2], factor: k[3], offset: k[4] || 0 }
      : { unit: k[0], factor: k[1], offset: 0 };
  };

  page.unit = (kind) => of(kind).unit;
  /** The number in the unit in use; a difference or an error has no offset. */
  page.convert = (kind, value, difference) => value * of(kind).factor + (difference ? 0 : of(kind).offset);

  /* How numbers are written. Spanish has a decimal comma in Spain and most of South America, a point in Mexico, Central
   * America and the United States (Unicode CLDR). A reader who meets the other one takes 54,232 gal for fifty-four
   * thousand. So US units go with the Spanish of the United States, and metric ones with the reader's own country. */
  page.numberLocale = () => {
    if (page.state.language !== 'es') return page.state.language;
    if (page.state.units === 'us') return 'es-US';
    return (navigator.languages || []).find((l) => /^es-\w/.test(l)) || 'es';
  };
  const write = (value, decimals, group) =>
    new Intl.NumberFormat(page.numberLocale(), {
      minimumFractionDigits: decimals,
      maximumFractionDigits: decimals,
      useGrouping: group ? 'min2' : false,
    })
      .format(Number(value.toFixed(decimals)) === 0 ? 0 : value) /* no -0.000 */
      .replace('-', '\u2212');

  /** Decimals that give a number so many significant digits. */
  page.decimals = (value, digits) =>
    value === 0 || !Number.isFinite(value)
      ? 0
      : page.clamp(digits - 1 - Math.floor(Math.log10(Math.abs(value)) + 1e-9), 0, 8);

  /** A number alone, already in the unit in use; without zeros at its end unless they are to be kept. */
  page.plain = (value, digits = 3, keep = false) => {
    if (!Number.isFinite(value)) return page.t('none');
    const decimals = page.decimals(value, digits),
      text = write(value, decimals, true);
    return decimals > 0 && !keep ? text.replace(/0+$/, '').replace(/[.,]$/, '') : text;
  };
  page.whole = (value) => write(Math.round(value), 0, true);
  /** With so many decimals, always: a clock. */
  page.fixed = (value, decimals) => write(value, decimals, true);

  const joined = (text, unit) => {
    if (!unit) return text;
    return (unit === '%' && page.state.language === 'en') || unit === '°' || unit.startsWith('/')
      ? `${text}${unit === '%' ? '\u202f' : ''}${unit}`
      : `${text}\u00a0${unit}`;
  };
  /** Value with its unit, to so many significant digits. */
  page.q = (kind, value, digits = 3, keep = false) => {
    if (!Number.isFinite(value)) return page.t('none');
    return joined(page.plain(page.convert(kind, value), digits, keep), of(kind).unit);
  };
  /* Smallest amount worth a number, in the unit in use (choices): a thousandth of a litre of 100 L, or of a percent, is
   * beyond what any trial can measure, and a row of zeros is misread. Other kinds have none. */
  const LEAST = {
    per_100_L: 1e-3,
    percent: 1e-3,
    per_leaf_uL_cm2: 1e-4,
    count_1_cm2: 1e-2,
    flux_percent_m: 1e-3,
  };
  const decimalsOfLeast = (kind) => (LEAST[kind] ? Math.round(-Math.log10(LEAST[kind])) : 6);
  const tiny = (kind) => page.t('tiny', { value: write(LEAST[kind], decimalsOfLeast(kind), true) });
  const isTiny = (kind, converted) => converted !== 0 && Math.abs(converted) < (LEAST[kind] || 0);

  page.isAmount = (kind) => LEAST[kind] !== undefined;
  /** An amount that was worked out, to so many significant digits; a very small one is said to be less than the
   *  smallest worth a number. (page.q writes what was set, however small.) */
  page.amount = (kind, value, digits = 3) =>
    isTiny(kind, page.convert(kind, value)) ? joined(tiny(kind), of(kind).unit) : page.q(kind, value, digits);
  /** An amount with no more digits than the model deserves: whole numbers, tenths below ten. For sentences. */
  page.rough = (kind, value) => {
    if (!Number.isFinite(value)) return page.t('none');
    const v = page.convert(kind, value),
      size = Math.abs(v);
    if (size > 0 && size < 0.05) return joined(page.t('less_than', { value: write(0.1, 1, true) }), of(kind).unit);
    const decimals = size > 0 && size < 9.95 && Math.abs(v - Math.round(v)) >= 0.05 ? 1 : 0;
    return joined(write(v, decimals, true), of(kind).unit);
  };
  /** Value and standard error: two digits of the error decide. {bare: true} leaves the unit out, {sign: true} puts a +
   *  before a rise. */
  page.pm = (kind, value, error, how = {}) => {
    if (!Number.isFinite(value)) return page.t('none');
    const v = page.convert(kind, value, how.difference),
      e = page.convert(kind, error, true),
      known = Number.isFinite(e) && e > 0,
      unit = how.bare ? '' : of(kind).unit;
    if (isTiny(kind, v) && !(e >= LEAST[kind]))
      return joined(how.sign ? page.t('tiny.difference', { value: tiny(kind) }) : tiny(kind), unit);
    const decimals = known
      ? page.clamp(1 - Math.floor(Math.log10(e) + 1e-9), 0, decimalsOfLeast(kind))
      : Math.min(page.decimals(v, 3), decimalsOfLeast(kind));
    const sign = how.sign && v > 0 ? '+' : '';
    const spread = !known ? '' : `\u00a0±\u00a0${isTiny(kind, e) ? tiny(kind) : write(e, decimals, true)}`;
    return joined(sign + write(v, decimals, true) + spread, unit);
  };
  /** The same with no more digits than the model deserves: two of the value, and the error where it is worth one beside
   *  them. For what is told outside "The numbers". */
  page.about = (kind, value, error, how = {}) => {
    if (!Number.isFinite(value)) return page.t('none');
    const v = page.convert(kind, value, how.difference),
      e = page.convert(kind, error, true),
      unit = how.bare ? '' : of(kind).unit;
    if (isTiny(kind, v) && !(e >= LEAST[kind])) return page.pm(kind, value, error, how);
    const decimals = page.clamp(page.decimals(Math.max(Math.abs(v), e || 0), 2), 0, decimalsOfLeast(kind)),
      sign = how.sign && v > 0 ? '+' : '',
      spread = Number(e?.toFixed(decimals)) > 0 ? `\u00a0±\u00a0${write(e, decimals, true)}` : '';
    return joined(sign + write(v, decimals, true) + spread, unit);
  };
  /** A number for a CSV file: point, no grouping. */
  page.csvNumber = (value) => (Number.isFinite(value) ? String(Number(value.toPrecision(6))) : '');

  /** Largest remainders: whole numbers that sum to what the values sum to. */
  page.wholes = (values) => {
    const floor = values.map(Math.floor);
    let left = Math.round(page.sum(values)) - page.sum(floor);
    const order = values.map((v, i) => [v - floor[i], i]).sort((a, b) => b[0] - a[0]);
    for (const [, i] of order) if (left-- > 0) floor[i]++;
    return floor;
  };

  /* "key.path: 7 bar (default)" of the resolved scenario: a number with a unit that has a US one is changed, too. */
  const SPELLED = {
    bar: 'pressure_bar',
    'km/h': 'travel_km_h',
    'm/s': 'speed_m_s',
    m: 'length_m',
    L: 'volume_L',
    'L/min': 'flow_L_min',
    'L/ha': 'rate_L_ha',
    degC: 'temperature_degC',
    hPa: 'air_pressure_hPa',
    'm3/s': 'air_m3_s',
    kW: 'power_kW',
    um: 'size_um',
    '%': 'percent',
    deg: 'angle_deg',
    rpm: 'fan_rpm',
    mm: 'small_mm',
    'L/m2': 'layer_L_m2',
    'kg/m3': 'density_kg_m3',
    'mN/m': 'tension_mN_m',
    'mPa s': 'viscosity_mPa_s',
    s: 'time_s',
    K: 'difference_K',
  };
  /** The words of a number with its unit in the units in use. @param spelled other kinds for some spellings
   *
   * A number that stands as a number is written as such: not a size such as 01, nor a seed of more digits than a number
   * of a script holds. */
  const NUMBER = /^(-?(?:0|[1-9]\d*)(?:\.\d+)?(?:e[-+]?\d+)?)(?: (mPa s|[a-zA-Z%][^ ]*))?( \(.*\))?$/;
  page.resolvedValue = (text, spelled = {}, digits = page.state.units === 'us' ? 4 : 6) => {
    const found = NUMBER.exec(text);
    if (!found || (!found[2] && found[1].length > 15)) return text;
    const [, number, unit, remark] = found,
      kind = unit ? spelled[unit] || SPELLED[unit] : 'plain';
    return (
      (kind ? page.q(kind, Number(number), unit ? digits : 6) : `${page.plain(Number(number), 6)} ${unit}`) +
      (remark || '')
    );
  };
  /** Every value of the scenario by its key. Tips are numbered, so that tips of other names can be compared. */
  page.resolved = (result) => {
    const map = new Map(),
      tips = [];
    for (const line of result.inputs.resolved.split('\n')) {
      const at = line.indexOf(': ');
      if (at < 0) continue;
      let key = line.slice(0, at);
      const tip = /^tips\.(.*)\.(\w+)$/.exec(key);
      if (tip) {
        if (!tips.includes(tip[1])) {
          tips.push(tip[1]);
          map.set(`tips.${tips.length}`, tip[1]);
        }
        key = `tips.${tips.indexOf(tip[1]) + 1}.${tip[2]}`;
      }
      map.set(key, line.slice(at + 2));
    }
    return map;
  };
}
