// What all charts share: their frame, the cursor that reads out, keys, zoom and size.
import uPlot from '/lib/uplot.js';
import {el, say} from './dom.js';
import {KEYS, roundOff, Zoom} from './zoom.js';

export const colour = name => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
export const FONT = '12px system-ui, sans-serif';

/** Sets the pen: a colour of the style sheet, dashes and a width. */
export function dash(ctx, style, pattern, width) {
  ctx.strokeStyle = colour(style);
  ctx.setLineDash(pattern.map(one => one * devicePixelRatio));
  ctx.lineWidth = width * devicePixelRatio;
}

/** Marks a value: a dot, or a cross if it did not pass. */
export function spot(ctx, x, y, size, passed) {
  ctx.beginPath();
  if (passed) {
    ctx.fillStyle = colour('--line1');
    ctx.arc(x, y, size, 0, 2 * Math.PI);
    ctx.fill();
    return;
  }
  dash(ctx, '--fail', [], 2.5);
  ctx.moveTo(x - size * 1.3, y - size * 1.3);
  ctx.lineTo(x + size * 1.3, y + size * 1.3);
  ctx.moveTo(x + size * 1.3, y - size * 1.3);
  ctx.lineTo(x - size * 1.3, y + size * 1.3);
  ctx.stroke();
}

/** Draws within the axes and leaves the pen as it was; draw takes the canvas' context and the plot's box. */
export function clipped(plot, draw) {
  const {ctx, bbox} = plot;
  ctx.save();
  ctx.beginPath();
  ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
  ctx.clip();
  draw(ctx, bbox);
  ctx.restore();
}

/**
 * A chart over x; draw() it once its node is in the page. What is one of a kind says draw(), which calls
 * show(); words(plot, index) of the point under the cursor; and, if x does not end with its points, ends().
 */
export class Chart {
  plot = null;
  #tall;

  /**
   * @param title above it, with a heading of this kind
   * @param spoken what its buttons call it
   * @param label what it is, for screen readers
   * @param more where else its values are
   * @param tall how high it is where there is room
   * @param logarithmic whether its x is
   */
  constructor({title, heading, spoken = title, label, more = '', tall = 320, logarithmic = false}) {
    this.#tall = tall;
    this.logarithmic = logarithmic;
    const zoom = new Zoom({plot: () => this.plot, ends: () => this.ends(), move: by => this.#move(by), logarithmic});
    this.area = el('div', {className: 'plot', tabIndex: 0, role: 'application',
      ariaLabel: `${label}. ${KEYS} The read-out follows${more}.`});
    this.readout = el('p', {className: 'readout', ariaLive: 'polite'});
    this.keys = el('ul', {className: 'keys'});
    this.node = el('figure', {className: 'curves'},
      el('figcaption', {className: 'row'}, el(heading, {}, title), zoom.buttons(spoken)),
      this.area, this.readout, this.keys);
    zoom.listen(this.area);
  }

  /** The x of both edges. */
  ends() {
    return [this.plot.data[0][0], this.plot.data[0].at(-1)];
  }

  /**
   * Draws it anew.
   *
   * @param how uPlot's axes, series and hooks; x and y as its scales
   * @param data x of each point in order, and the values of each series
   */
  show({x, y, axes, series, hooks, size = 9}, data) {
    this.plot?.destroy();
    this.plot = new uPlot({
      width: this.#width(),
      height: this.#height(),
      legend: {show: false},
      cursor: {drag: {x: true, y: false}, y: false, points: {size}},
      scales: {x: {time: false, ...x}, y},
      axes,
      series: [{}, ...series],
      hooks: {...hooks, setCursor: [plot => this.read(plot)]},
    }, data, this.area);
    this.read(this.plot);
  }

  /** Says what is under the cursor. */
  read(plot) {
    const index = plot.cursor.idx;
    say(this.readout, (index === null || index === undefined ? null : this.words(plot, index)) ?? 'Point at the chart, or use the arrow keys, to read values.');
  }

  #move(by) {
    const plot = this.plot;
    const xs = plot.data[0];
    const {min, max} = plot.scales.x;
    const slack = roundOff(min, max);
    const low = xs.findIndex(x => x >= min - slack);
    const high = xs.findLastIndex(x => x <= max + slack);
    if (low < 0 || high < low) return;
    const next = Math.max(low, Math.min(high, (plot.cursor.idx ?? (by > 0 ? low - 1 : high + 1)) + by));
    plot.setCursor({left: Math.max(0, plot.valToPos(xs[next], 'x')), top: 10}); // left of 0 it would be hidden
    if (plot.cursor.idx !== next) { // points over one another: the cursor finds another of them
      plot.cursor.idx = next;
      this.read(plot);
    }
  }

  resize() {
    this.plot?.setSize({width: this.#width(), height: this.#height()});
  }

  #width() {
    return Math.max(240, this.area.clientWidth);
  }

  #height() {
    return this.area.clientWidth < 480 ? 240 : this.#tall;
  }

  destroy() {
    this.plot?.destroy();
  }
}

/** Draws charts again when the window or the colours change. */
export function keepFitting(charts) {
  addEventListener('resize', () => charts().forEach(chart => chart.resize()));
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => charts().forEach(chart => chart.draw()));
}
