// A chart of curves over one another, with the mask they are judged by, a cursor that reads out, and zoom.
import uPlot from '/lib/uplot.js';
import {el, say} from './dom.js';
import {KEYS, Zoom} from './zoom.js';

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

const colour = name => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
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
function drawMasks(plot, masks) {
  const {ctx, bbox} = plot;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
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
  ctx.restore();
}

function axis(unit, logarithmic, side) {
  return {
    stroke: colour('--ink'),
    grid: {stroke: colour('--grid'), width: 1},
    ticks: {stroke: colour('--grid'), width: 1},
    font: '12px system-ui, sans-serif',
    label: symbol(unit) || undefined,
    labelFont: '12px system-ui, sans-serif',
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
export class Curves {
  #lines;
  #plot;
  #marks = 0;
  #logarithmic;
  #unit;
  #zoom;

  constructor(title, lines, heading = 'h3') {
    this.#lines = lines;
    this.#unit = {x: lines[0].xUnit, y: lines[0].yUnit};
    this.#logarithmic = this.#unit.x === 'Hz' && lines.every(line => line.x[0] > 0);
    this.#zoom = new Zoom({
      plot: () => this.#plot,
      ends: () => [this.#plot.data[0][0], this.#plot.data[0].at(-1)],
      move: by => this.#move(by),
      logarithmic: this.#logarithmic,
    });
    this.hidden = new Set();
    this.area = el('div', {
      className: 'plot', tabIndex: 0, role: 'application',
      ariaLabel: `${title}, chart of ${lines.length} ${lines.length === 1 ? 'curve' : 'curves'}. ${KEYS} The read-out follows.`,
    });
    this.readout = el('p', {className: 'readout', ariaLive: 'polite'});
    this.keys = el('ul', {className: 'keys'});
    this.node = el('figure', {className: 'curves'},
      el('figcaption', {className: 'row'}, el(heading, {}, title),
        this.#zoom.buttons(title)),
      this.area, this.readout, this.keys);
    this.#zoom.listen(this.area);
    this.#legend();
  }

  /** To be called once the node is in the page. */
  draw() {
    this.#plot?.destroy();
    const lines = this.#lines;
    const xs = [...new Set(lines.flatMap(line => line.x))].sort((a, b) => a - b);
    this.#marks = xs.length;
    const masks = masksOf(lines);
    const edge = masks.flatMap(mask => mask.corners).flatMap(corner => [corner.low, corner.high]).filter(one => one !== null);
    this.#plot = new uPlot({
      width: Math.max(240, this.area.clientWidth),
      height: this.#height(),
      legend: {show: false},
      cursor: {drag: {x: true, y: false}, points: {size: 7}, y: false},
      scales: {
        x: {time: false, distr: this.#logarithmic ? 3 : 1, range: (plot, low, high) => [low, high === low ? low * 1.01 + 1e-9 : high]},
        y: {range: (plot, low, high) => {
          const inside = edge.filter(Number.isFinite);
          const least = Math.min(low ?? 0, ...inside);
          const most = Math.max(high ?? 0, ...inside);
          const margin = 0.06 * (most - least || Math.abs(most) || 1);
          return [least - margin, most + margin];
        }},
      },
      axes: [axis(this.#unit.x, this.#logarithmic, false), axis(this.#unit.y, false, true)],
      series: [{}, ...lines.map((line, i) => ({
        label: line.label,
        show: !this.hidden.has(i),
        stroke: colour(LINES[i % LINES.length]),
        dash: DASHES[dashOf(i)],
        width: 2,
        spanGaps: true,
        points: {show: false},
      }))],
      hooks: {
        drawAxes: [plot => drawMasks(plot, masks)],
        setCursor: [plot => this.#read(plot)],
      },
    }, [xs, ...lines.map(line => xs.map(x => at(line, x, this.#logarithmic)))], this.area);
    this.#read(this.#plot);
  }

  #height() {
    return this.area.clientWidth < 480 ? 240 : 320;
  }

  resize() {
    this.#plot?.setSize({width: Math.max(240, this.area.clientWidth), height: this.#height()});
  }

  destroy() {
    this.#plot?.destroy();
  }

  #legend() {
    this.keys.replaceChildren(...this.#lines.map((line, i) => {
      const box = el('input', {type: 'checkbox', checked: true, onchange: event => {
        event.target.checked ? this.hidden.delete(i) : this.hidden.add(i);
        this.#plot?.setSeries(i + 1, {show: event.target.checked});
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

  #read(plot) {
    const index = plot.cursor.idx;
    if (index === null || index === undefined) {
      say(this.readout, 'Point at the chart, or use the arrow keys, to read values.');
      return;
    }
    const x = plot.data[0][index];
    const parts = this.#lines.map((line, i) => this.hidden.has(i) ? null : `${line.label}: ${quantity(plot.data[i + 1][index], this.#unit.y)}`)
      .filter(part => part !== null);
    say(this.readout, `${quantity(x, this.#unit.x)} — ${parts.slice(0, 8).join('; ')}${parts.length > 8 ? '; …' : ''}`);
  }

  #move(by) {
    const plot = this.#plot;
    const [low, high] = plot.series[0].idxs;
    const now = plot.cursor.idx ?? (by > 0 ? low - 1 : high + 1);
    const next = Math.max(low, Math.min(high, now + by));
    plot.setCursor({left: plot.valToPos(plot.data[0][next], 'x'), top: 10});
  }
}

/** Draws charts again when the window or the colours change. */
export function keepFitting(charts) {
  addEventListener('resize', () => charts().forEach(chart => chart.resize()));
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => charts().forEach(chart => chart.draw()));
}
