// A chart of values against something else: station, hour of the day, supply voltage.
import uPlot from '/lib/uplot.js';
import {el, say} from './dom.js';
import {quantity} from './curves.js';
import {dash, spot} from './values.js';
import {KEYS, Zoom} from './zoom.js';

const colour = name => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
const STATIONS = [1, 2, 5, 10, 20, 50, 100];
const HOURS = [1 / 60, 1 / 30, 1 / 12, 1 / 6, 1 / 4, 1 / 2, 1, 2, 3, 6];
const hour = value => {
  const minutes = Math.round(value * 60);
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, '0')}`;
};

/** The chart; draw it once its node is in the page. */
export class Scatter {
  #against;
  #unit;
  #dots;
  #plot;
  #zoom;

  /**
   * @param unit of the values
   * @param against with kind, axis, unit (of x), names (of stations), line and dots
   */
  constructor(name, unit, against) {
    this.#against = against;
    this.#unit = unit;
    this.#dots = [...against.dots].sort((a, b) => a.x - b.x);
    this.#zoom = new Zoom({plot: () => this.#plot, ends: () => this.#ends(), move: by => this.#move(by), logarithmic: false});
    const title = `Against ${against.kind}`;
    this.area = el('div', {className: 'plot', tabIndex: 0, role: 'application',
      ariaLabel: `${title}: ${name}, chart of ${against.dots.length} units. ${KEYS} The read-out follows.`});
    this.readout = el('p', {className: 'readout', ariaLive: 'polite'});
    this.node = el('figure', {className: 'curves'},
      el('figcaption', {className: 'row'}, el('h3', {}, title), this.#zoom.buttons(title)),
      this.area, this.readout,
      el('ul', {className: 'keys'},
        against.line && el('li', {}, el('span', {className: 'swatch mean', ariaHidden: 'true'}), 'line of least squares'),
        el('li', {className: 'quiet'}, 'cross: not passed')));
    this.#zoom.listen(this.area);
  }

  #at(x) {
    const {kind, names, unit} = this.#against;
    if (names.length) return names[x] ?? '';
    return kind === 'time of day' ? hour(x) : quantity(x, unit);
  }

  #ends() {
    const [least, most] = [this.#dots[0].x, this.#dots.at(-1).x];
    const margin = this.#against.names.length ? 0.5 : 0.04 * (most - least || 1);
    return [least - margin, most + margin];
  }

  draw() {
    this.#plot?.destroy();
    const xs = this.#dots.map(dot => dot.x);
    const font = '12px system-ui, sans-serif';
    this.#plot = new uPlot({
      width: Math.max(240, this.area.clientWidth),
      height: this.#height(),
      legend: {show: false},
      cursor: {drag: {x: true, y: false}, y: false, points: {size: 9}},
      scales: {
        x: {time: false, range: (plot, low, high) => low <= xs[0] && high >= xs.at(-1) ? this.#ends() : [low, high]},
        y: {range: (plot, low, high) => {
          const margin = 0.08 * (high - low || Math.abs(high) || 1);
          return [low - margin, high + margin];
        }},
      },
      axes: [
        {stroke: colour('--ink'), grid: {show: false}, ticks: {stroke: colour('--grid')}, font, label: this.#against.axis, labelFont: font, labelSize: 20, size: 30, space: 72,
          incrs: this.#against.names.length ? STATIONS : this.#against.kind === 'time of day' ? HOURS : undefined,
          values: (plot, splits) => splits.map(one => this.#at(one))},
        {stroke: colour('--ink'), grid: {stroke: colour('--grid')}, ticks: {stroke: colour('--grid')}, font, size: 84,
          values: (plot, splits) => splits.map(one => quantity(one, this.#unit, 4))},
      ],
      series: [{}, {stroke: colour('--line1'), paths: () => null, points: {show: false}}],
      hooks: {draw: [plot => this.#marks(plot)], setCursor: [plot => this.#read(plot)]},
    }, [xs, this.#dots.map(dot => dot.y)], this.area);
    this.#read(this.#plot);
  }

  #marks(plot) {
    const {ctx, bbox} = plot;
    const {line} = this.#against;
    const at = (x, y) => [plot.valToPos(x, 'x', true), plot.valToPos(y, 'y', true)];
    ctx.save();
    ctx.beginPath();
    ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
    ctx.clip();
    if (line) {
      dash(ctx, '--line2', [], 2);
      const {min, max} = plot.scales.x;
      ctx.beginPath();
      ctx.moveTo(...at(min, line.intercept + line.slope * min));
      ctx.lineTo(...at(max, line.intercept + line.slope * max));
      ctx.stroke();
    }
    for (const dot of this.#dots) spot(ctx, ...at(dot.x, dot.y), 4 * devicePixelRatio, dot.passed);
    ctx.restore();
  }

  #read(plot) {
    const dot = this.#dots[plot.cursor.idx];
    say(this.readout, dot ? `${dot.unit}: ${quantity(dot.y, this.#unit)} at ${this.#at(dot.x)}${dot.passed ? '' : ', not passed'}`
      : 'Point at the chart, or use the arrow keys, to read values.');
  }

  #move(by) {
    const plot = this.#plot;
    const seen = this.#dots.map((dot, i) => i).filter(i => this.#dots[i].x >= plot.scales.x.min && this.#dots[i].x <= plot.scales.x.max);
    if (!seen.length) return;
    const [low, high] = [seen[0], seen.at(-1)];
    const next = Math.max(low, Math.min(high, (plot.cursor.idx ?? (by > 0 ? low - 1 : high + 1)) + by));
    plot.setCursor({left: plot.valToPos(this.#dots[next].x, 'x'), top: 10});
    if (plot.cursor.idx !== next) { // dots over one another: the cursor finds another of them
      plot.cursor.idx = next;
      this.#read(plot);
    }
  }

  resize() {
    this.#plot?.setSize({width: Math.max(240, this.area.clientWidth), height: this.#height()});
  }

  #height() {
    return this.area.clientWidth < 480 ? 240 : 320;
  }

  destroy() {
    this.#plot?.destroy();
  }
}
