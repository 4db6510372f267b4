// A chart of values against something else: station, hour of the day, supply voltage.
import {el} from './dom.js';
import {Chart, FONT, clipped, colour, dash, spot} from './chart.js';
import {quantity} from './curves.js';

const STATIONS = [1, 2, 5, 10, 20, 50, 100];
const ROOM = 72; // pixels from one tick to the next
const HOURS = [1 / 60, 1 / 30, 1 / 12, 1 / 6, 1 / 4, 1 / 2, 1, 2, 3, 6, 12];
const hour = value => {
  const minutes = Math.round(value * 60);
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`;
};

/** Ticks at whole minutes or hours: of steps the library chooses only decimal numbers. */
const ticks = (plot, axis, low, high) => {
  const most = Math.max(1, plot.bbox.width / devicePixelRatio / ROOM);
  const step = HOURS.find(one => (high - low) / one <= most) ?? HOURS.at(-1);
  const first = Math.ceil(low / step - 1e-6);
  return Array.from({length: Math.max(0, Math.floor(high / step + 1e-6) - first + 1)}, (none, i) => (first + i) * step);
};

/** The chart; draw it once its node is in the page. */
export class Scatter extends Chart {
  #against;
  #unit;
  #dots;

  /**
   * @param unit of the values
   * @param against with kind, axis, unit (of x), names (of stations), line and dots
   */
  constructor(name, unit, against) {
    const title = `Against ${against.kind}`;
    super({title, heading: 'h3', label: `${title}: ${name}, chart of ${against.dots.length} units`});
    this.#against = against;
    this.#unit = unit;
    this.#dots = [...against.dots].sort((a, b) => a.x - b.x);
    this.keys.append(...[
      against.line && el('li', {}, el('span', {className: 'swatch mean', ariaHidden: 'true'}), 'line of least squares'),
      el('li', {className: 'quiet'}, 'cross: not passed'),
    ].filter(key => key));
  }

  #at(x) {
    const {kind, names, unit} = this.#against;
    if (names.length) return names[x] ?? '';
    return kind === 'time of day' ? hour(x) : quantity(x, unit);
  }

  ends() {
    const [least, most] = [this.#dots[0].x, this.#dots.at(-1).x];
    const margin = this.#against.names.length ? 0.5 : 0.04 * (most - least || 1);
    return [least - margin, most + margin];
  }

  draw() {
    const xs = this.#dots.map(dot => dot.x);
    const {axis, kind, names} = this.#against;
    this.show({
      x: {range: (plot, low, high) => low <= xs[0] && high >= xs.at(-1) ? this.ends() : [low, high]},
      y: {range: (plot, low, high) => {
        const margin = 0.08 * (high - low || Math.abs(high) || 1);
        return [low - margin, high + margin];
      }},
      axes: [
        {stroke: colour('--ink'), grid: {show: false}, ticks: {stroke: colour('--grid')}, font: FONT, label: axis, labelFont: FONT, labelSize: 20, size: 30, space: ROOM,
          ...(names.length ? {incrs: STATIONS} : kind === 'time of day' ? {splits: ticks} : {}),
          values: (plot, splits) => splits.map(one => this.#at(one))},
        {stroke: colour('--ink'), grid: {stroke: colour('--grid')}, ticks: {stroke: colour('--grid')}, font: FONT, size: 84,
          values: (plot, splits) => splits.map(one => quantity(one, this.#unit, 4))},
      ],
      series: [{stroke: colour('--line1'), paths: () => null, points: {show: false}}],
      hooks: {draw: [plot => clipped(plot, ctx => this.#marks(plot, ctx))]},
    }, [xs, this.#dots.map(dot => dot.y)]);
  }

  #marks(plot, ctx) {
    const {line} = this.#against;
    const at = (x, y) => [plot.valToPos(x, 'x', true), plot.valToPos(y, 'y', true)];
    if (line) {
      dash(ctx, '--line2', [], 2);
      const {min, max} = plot.scales.x;
      ctx.beginPath();
      ctx.moveTo(...at(min, line.intercept + line.slope * min));
      ctx.lineTo(...at(max, line.intercept + line.slope * max));
      ctx.stroke();
    }
    for (const dot of this.#dots) spot(ctx, ...at(dot.x, dot.y), 4 * devicePixelRatio, dot.passed);
  }

  words(plot, index) {
    const dot = this.#dots[index];
    return dot && `${dot.unit}: ${quantity(dot.y, this.#unit)} at ${this.#at(dot.x)}${dot.passed ? '' : ', not passed'}`;
  }
}
