// A chart of curves over one another, with the mask they are judged by, a cursor that reads out, and zoom.
import {el} from './dom.js';
import {Chart, FONT, clipped, colour} from './chart.js';

const PREFIXES = [[1e9, 'G'], [1e6, 'M'], [1e3, 'k'], [1, ''], [1e-3, 'm'], [1e-6, 'µ'], [1e-9, 'n']];
const PREFIXED = new Set(['V', 'A', 'ohm', 'W', 'Hz', 's', 'F', 'H', 'V/s']);

const SYMBOLS = {ohm: 'Ω', deg: '°'};
const symbol = unit => SYMBOLS[unit] ?? unit;

/** "1.5 kHz", "−60.1 dB". */
export function quantity(value, unit, digits = 4) {
  if (value === null || value === undefined) return '–';
  let number = value;
  let prefix = '';
  if (PREFIXED.has(unit) && value !== 0) {
    const [factor, letter] = PREFIXES.find(([least]) => Math.abs(value) >= least * 0.99999) ?? PREFIXES.at(-1);
    number = value / factor;
    prefix = letter;
  }
  const text = String(Number(number.toPrecision(digits))).replace('-', '−');
  return `${text}${unit ? ` ${prefix}${symbol(unit)}` : ''}`;
}

const LINES = ['--line1', '--line2', '--line3', '--line4', '--line5', '--line6'];
const DASHES = [[], [7, 4], [2, 3], [9, 3, 2, 3]];

/** Which dashes: neighbours differ by more than colour, and 24 lines by one or the other. */
const dashOf = i => (i + Math.floor(i / 12)) % DASHES.length;

/** Linear between points, on a logarithmic x if x is a frequency; null outside the curve. */
function at(line, x, logarithmic) {
  const {x: xs, y: ys} = line;
  if (x < xs[0] || x > xs.at(-1)) return null;
  let high = xs.findIndex(one => one >= x);
  if (high <= 0) return ys[Math.max(0, high)];
  const [x0, x1] = [xs[high - 1], xs[high]];
  const part = logarithmic && x0 > 0 ? Math.log(x / x0) / Math.log(x1 / x0) : (x - x0) / (x1 - x0);
  return ys[high - 1] + part * (ys[high] - ys[high - 1]);
}

/** The distinct masks of lines, each less the widest guard band that was kept within it. */
function masksOf(lines) {
  const masks = new Map();
  for (const line of lines) {
    if (!line.mask.length) continue;
    const key = JSON.stringify(line.mask);
    const {low, high} = masks.get(key)?.guard ?? {low: 0, high: 0};
    masks.set(key, {corners: line.mask, guard: {low: Math.max(low, line.guard?.low ?? 0), high: Math.max(high, line.guard?.high ?? 0)}});
  }
  return [...masks.values()];
}

/** Draws masks as bands: what is good is tinted, its bounds are lines. */
function drawMasks(plot, masks, ctx, bbox) {
  for (const {corners: mask, guard} of masks) {
    for (let i = 1; i < mask.length; i++) {
      const [from, to] = [mask[i - 1], mask[i]];
      const x = [from, to].map(corner => Math.round(plot.valToPos(corner.x, 'x', true))); // whole, or seams would show
      const side = (name, none) => from[name] === null || to[name] === null
        ? [none, none] : [from, to].map(corner => plot.valToPos(corner[name], 'y', true));
      const low = side('low', bbox.top + bbox.height);
      const high = side('high', bbox.top);
      ctx.fillStyle = colour('--band');
      ctx.beginPath();
      ctx.moveTo(x[0], high[0]);
      ctx.lineTo(x[1], high[1]);
      ctx.lineTo(x[1], low[1]);
      ctx.lineTo(x[0], low[0]);
      ctx.fill();
      ctx.strokeStyle = colour('--bound');
      ctx.lineWidth = 1.5 * devicePixelRatio;
      for (const [name, y, inward] of [['low', low, guard.low], ['high', high, -guard.high]]) {
        if (from[name] === null || to[name] === null) continue;
        ctx.beginPath();
        ctx.moveTo(x[0], y[0]);
        ctx.lineTo(x[1], y[1]);
        ctx.stroke();
        if (!inward) continue;
        ctx.save();
        ctx.setLineDash([5 * devicePixelRatio, 4 * devicePixelRatio]);
        ctx.beginPath();
        ctx.moveTo(x[0], plot.valToPos(from[name] + inward, 'y', true));
        ctx.lineTo(x[1], plot.valToPos(to[name] + inward, 'y', true));
        ctx.stroke();
        ctx.restore();
      }
    }
  }
}

function axis(unit, logarithmic, side) {
  return {
    stroke: colour('--ink'),
    grid: {stroke: colour('--grid'), width: 1},
    ticks: {stroke: colour('--grid'), width: 1},
    font: FONT,
    label: symbol(unit) || undefined,
    labelFont: FONT,
    labelSize: unit ? 20 : 0,
    size: side ? 62 : 34,
    values: (plot, splits) => splits.map(value => {
      if (value === null) return '';
      if (logarithmic) {
        const first = Number(value.toExponential()[0]);
        const wide = plot.scales.x.max / plot.scales.x.min > 30;
        const few = plot.width < 480;
        if (wide && !(few ? [1] : [1, 2, 5]).includes(first)) return '';
      }
      return quantity(value, PREFIXED.has(unit) ? unit : '', 4).replace(/[a-zA-Z/µΩ°]+$/, letters =>
        letters.length > symbol(unit).length ? letters[0] : '').trim();
    }),
    filter: logarithmic ? (plot, splits) => splits : undefined,
  };
}

/**
 * A chart.
 *
 * @param title for people and screen readers
 * @param heading which kind of heading, by where the chart stands
 * @param lines with label, xUnit, yUnit, x, y and mask, all of the same units
 */
export class Curves extends Chart {
  #lines;
  #unit;
  #hidden = new Set();

  constructor(title, lines, heading = 'h3') {
    super({
      title,
      heading,
      label: `${title}, chart of ${lines.length} ${lines.length === 1 ? 'curve' : 'curves'}`,
      logarithmic: lines[0].xUnit === 'Hz' && lines.every(line => line.x[0] > 0),
    });
    this.#lines = lines;
    this.#unit = {x: lines[0].xUnit, y: lines[0].yUnit};
    this.#legend();
  }

  /** To be called once the node is in the page. */
  draw() {
    const lines = this.#lines;
    const xs = [...new Set(lines.flatMap(line => line.x))].sort((a, b) => a - b);
    const masks = masksOf(lines);
    const edges = masks.flatMap(mask => mask.corners).flatMap(corner => [corner.low, corner.high]).filter(Number.isFinite);
    this.show({
      size: 7,
      x: {distr: this.logarithmic ? 3 : 1, range: (plot, low, high) => [low, high === low ? low * 1.01 + 1e-9 : high]},
      y: {range: (plot, low, high) => {
        const least = Math.min(low ?? 0, ...edges);
        const most = Math.max(high ?? 0, ...edges);
        const margin = 0.06 * (most - least || Math.abs(most) || 1);
        return [least - margin, most + margin];
      }},
      axes: [axis(this.#unit.x, this.logarithmic, false), axis(this.#unit.y, false, true)],
      series: lines.map((line, i) => ({
        label: line.label,
        show: !this.#hidden.has(i),
        stroke: colour(LINES[i % LINES.length]),
        dash: DASHES[dashOf(i)],
        width: 2,
        spanGaps: true,
        points: {show: false},
      })),
      hooks: {drawAxes: [plot => clipped(plot, (ctx, bbox) => drawMasks(plot, masks, ctx, bbox))]},
    }, [xs, ...lines.map(line => xs.map(x => at(line, x, this.logarithmic)))]);
  }

  #legend() {
    this.keys.replaceChildren(...this.#lines.map((line, i) => {
      const box = el('input', {type: 'checkbox', checked: true, onchange: event => {
        event.target.checked ? this.#hidden.delete(i) : this.#hidden.add(i);
        this.plot?.setSeries(i + 1, {show: event.target.checked});
      }});
      const swatch = el('span', {className: `swatch dash${dashOf(i)}`, ariaHidden: 'true'});
      swatch.style.color = `var(${LINES[i % LINES.length]})`;
      return el('li', {}, el('label', {}, box, swatch, line.label, line.outcome === 'pass' || !line.outcome ? '' : ` (${line.outcome})`));
    }), ...this.#keysOfMasks());
  }

  #keysOfMasks() {
    const masks = masksOf(this.#lines);
    if (!masks.length) return [];
    const guarded = masks.some(({guard}) => guard.low > 0 || guard.high > 0);
    return [el('li', {className: 'quiet'}, 'tinted: within the mask'), ...(guarded
      ? [el('li', {className: 'quiet'}, el('span', {className: 'swatch guard', ariaHidden: 'true'}), 'less the guard band, as wide as where it decided')] : [])];
  }

  words(plot, index) {
    const parts = this.#lines.map((line, i) => this.#hidden.has(i) ? null : `${line.label}: ${quantity(plot.data[i + 1][index], this.#unit.y)}`)
      .filter(part => part !== null);
    return `${quantity(plot.data[0][index], this.#unit.x)} — ${parts.slice(0, 8).join('; ')}${parts.length > 8 ? '; …' : ''}`;
  }
}
