// A chart of individual values: one point for each unit, in the order of testing, with its limits.
import uPlot from '/lib/uplot.js';
import {el, say} from './dom.js';
import {quantity} from './curves.js';

const colour = name => getComputedStyle(document.documentElement).getPropertyValue(name).trim();

function dash(ctx, style, pattern, width) {
  ctx.strokeStyle = colour(style);
  ctx.setLineDash(pattern.map(one => one * devicePixelRatio));
  ctx.lineWidth = width * devicePixelRatio;
}

/** The chart; draw it once its node is in the page. */
export class Values {
  #view;
  #plot;

  constructor(view) {
    this.#view = view;
    this.area = el('div', {className: 'plot', tabIndex: 0, role: 'application',
      ariaLabel: `${view.name}, chart of ${view.values.length} units. Left and right move from unit to unit. The read-out follows; the table below has all values.`});
    this.readout = el('p', {className: 'readout', ariaLive: 'polite'});
    this.node = el('figure', {className: 'curves'}, this.area, this.readout,
      el('ul', {className: 'keys'},
        el('li', {}, el('span', {className: 'swatch bound', ariaHidden: 'true'}), 'limit'),
        view.spread && el('li', {}, el('span', {className: 'swatch mean', ariaHidden: 'true'}), `mean ${quantity(view.spread.mean, view.unit)}`),
        view.spread && el('li', {}, el('span', {className: 'swatch spread', ariaHidden: 'true'}),
          `mean ± 3 deviations: ${quantity(view.spread.low, view.unit)} to ${quantity(view.spread.high, view.unit)}`),
        el('li', {className: 'quiet'}, 'cross: not passed')));
    this.area.addEventListener('keydown', event => this.#key(event));
  }

  draw() {
    this.#plot?.destroy();
    const {values, spread, unit} = this.#view;
    const xs = values.map((one, i) => i + 1);
    const edges = values.flatMap(one => [one.low, one.high]).concat(spread ? [spread.low, spread.high] : []).filter(one => one !== null);
    this.#plot = new uPlot({
      width: Math.max(240, this.area.clientWidth),
      height: this.area.clientWidth < 480 ? 240 : 340,
      legend: {show: false},
      cursor: {drag: {x: true, y: false}, y: false, points: {size: 9}},
      scales: {
        x: {time: false, range: (plot, low, high) => [low - 0.5, high + 0.5]},
        y: {range: (plot, low, high) => {
          const least = Math.min(low ?? 0, ...edges);
          const most = Math.max(high ?? 0, ...edges);
          const margin = 0.08 * (most - least || Math.abs(most) || 1);
          return [least - margin, most + margin];
        }},
      },
      axes: [
        {stroke: colour('--ink'), grid: {show: false}, ticks: {stroke: colour('--grid')}, font: '12px system-ui, sans-serif', label: 'units in the order of testing', labelFont: '12px system-ui, sans-serif', labelSize: 20, size: 30,
          values: (plot, splits) => splits.map(one => Number.isInteger(one) ? String(one) : '')},
        {stroke: colour('--ink'), grid: {stroke: colour('--grid')}, ticks: {stroke: colour('--grid')}, font: '12px system-ui, sans-serif', size: 84,
          values: (plot, splits) => splits.map(one => quantity(one, unit, 4))},
      ],
      series: [{}, {stroke: colour('--line1'), width: 1.5, points: {show: false}}],
      hooks: {draw: [plot => this.#marks(plot)], setCursor: [plot => this.#read(plot)]},
    }, [xs, values.map(one => one.value)], this.area);
    this.#read(this.#plot);
  }

  #marks(plot) {
    const {ctx, bbox} = plot;
    const {values, spread} = this.#view;
    const across = (y, from, to) => {
      ctx.beginPath();
      ctx.moveTo(from, y);
      ctx.lineTo(to, y);
      ctx.stroke();
    };
    const x = at => plot.valToPos(at, 'x', true);
    ctx.save();
    ctx.beginPath();
    ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
    ctx.clip();
    if (spread) {
      dash(ctx, '--line2', [], 1);
      across(plot.valToPos(spread.mean, 'y', true), bbox.left, bbox.left + bbox.width);
      dash(ctx, '--line2', [6, 5], 1);
      for (const y of [spread.low, spread.high]) across(plot.valToPos(y, 'y', true), bbox.left, bbox.left + bbox.width);
    }
    dash(ctx, '--bound', [], 2);
    values.forEach((one, i) => {
      for (const limit of [one.low, one.high]) {
        if (limit !== null) across(plot.valToPos(limit, 'y', true), x(i + 0.5), x(i + 1.5));
      }
    });
    const size = 4 * devicePixelRatio;
    values.forEach((one, i) => {
      if (one.value === null) return;
      const [px, py] = [x(i + 1), plot.valToPos(one.value, 'y', true)];
      ctx.beginPath();
      if (one.outcome === 'pass' || one.outcome === 'not judged') {
        ctx.fillStyle = colour('--line1');
        ctx.arc(px, py, size, 0, 2 * Math.PI);
        ctx.fill();
      } else {
        dash(ctx, '--fail', [], 2.5);
        ctx.moveTo(px - size * 1.3, py - size * 1.3);
        ctx.lineTo(px + size * 1.3, py + size * 1.3);
        ctx.moveTo(px + size * 1.3, py - size * 1.3);
        ctx.lineTo(px - size * 1.3, py + size * 1.3);
        ctx.stroke();
      }
    });
    ctx.restore();
  }

  #read(plot) {
    const one = this.#view.values[plot.cursor.idx];
    say(this.readout, one ? `${one.unit}: ${one.shown}, ${one.outcome}${one.limit ? ` (limit: ${one.limit})` : ''}` : 'Point at the chart, or use the arrow keys, to read values.');
  }

  #key(event) {
    const by = {ArrowLeft: -1, ArrowRight: 1}[event.key];
    if (!by) return;
    event.preventDefault();
    const plot = this.#plot;
    const most = this.#view.values.length - 1;
    const next = Math.max(0, Math.min(most, (plot.cursor.idx ?? (by > 0 ? -1 : most + 1)) + by));
    plot.setCursor({left: plot.valToPos(next + 1, 'x'), top: 10});
  }

  resize() {
    this.draw();
  }

  destroy() {
    this.#plot?.destroy();
  }
}
