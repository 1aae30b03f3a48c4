/* scripts/page-libraries/d3.entry.js - what the plots of the page use of d3: scales with their ticks, shapes, and
 * colours between colours. */
export { interpolateLab, piecewise } from 'd3-interpolate';
export { scaleBand, scaleLinear, scaleLog } from 'd3-scale';
export { area, line } from 'd3-shape';
