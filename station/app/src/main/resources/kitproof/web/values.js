// A chart of values in the order of testing, with their limits: a point for each unit or group of units
// or, of many, a bar from the least to the greatest value of neighbours with their mean.
import {el, typeset} from './dom.js';
import {Chart, FONT, clipped, colour, dash, spot} from './chart.js';
import {quantity} from './curves.js';

/** What a chart of single units is called, and how it reads. */
const UNITS = {
  title: 'In the order of testing',
  heading: 'h2',
  what: 'units',
  table: '; the table below has all values',
  mean: 'mean',
  control: 'control limits, 3 sigma from the mean moving range',
  judged: true,
};

/** The chart; draw it once its node is in the page. */
export class Values extends Chart {
  #view;
  #about;
  #spread;
  #rules; // by the number of the unit

  /**
   * @param view with name, unit, units (how many), points, guarded and statistics
   * @param about what it is called; with words(point) if its points are no units
   */
  constructor(view, about = UNITS) {
    super({
      title: about.title,
      heading: about.heading,
      spoken: about === UNITS ? view.name : about.title,
      label: `${about === UNITS ? view.name : `${about.title}: ${view.name}`}, chart of ${view.units} ${about.what}`,
      more: about.table,
      tall: 340,
    });
    this.#view = view;
    this.#about = about;
    const statistics = view.statistics;
    const spread = statistics && statistics.centre !== null ? {mean: statistics.centre, low: statistics.low, high: statistics.high} : null;
    this.#spread = spread;
    this.#rules = new Map((statistics?.marks ?? []).map(one => [one.number, one.rules]));
    this.keys.append(...[
      about.judged && el('li', {}, el('span', {className: 'swatch bound', ariaHidden: 'true'}), 'limit'),
      view.guarded && el('li', {}, el('span', {className: 'swatch guard', ariaHidden: 'true'}), 'limit less the guard band of the latest unit'),
      spread && el('li', {}, el('span', {className: 'swatch mean', ariaHidden: 'true'}), `${about.mean} ${quantity(spread.mean, view.unit)}`),
      spread && el('li', {}, el('span', {className: 'swatch spread', ariaHidden: 'true'}),
        `${about.control}: ${quantity(spread.low, view.unit)} to ${quantity(spread.high, view.unit)}`),
      this.#rules.size > 0 && el('li', {}, el('span', {className: 'swatch ring', ariaHidden: 'true'}), about.ring ?? 'ring: a run rule speaks'),
      view.points.some(one => one.from !== one.to) && el('li', {className: 'quiet'}, `bar: least to greatest of ${view.points[0].to} units, dot: their mean`),
      about.judged && el('li', {className: 'quiet'}, 'cross: not passed'),
    ].filter(key => key));
  }

  draw() {
    const {points, unit} = this.#view;
    const spread = this.#spread;
    const xs = points.map(one => (one.from + one.to) / 2);
    const edges = points.flatMap(one => [one.low, one.high, one.least, one.most]).concat(spread ? [spread.low, spread.high] : []).filter(one => one !== null);
    this.show({
      x: {range: (plot, low, high) => low <= xs[0] && high >= xs.at(-1) ? this.ends() : [low, high]},
      y: {range: (plot, low, high) => {
        const least = Math.min(low ?? 0, ...edges);
        const most = Math.max(high ?? 0, ...edges);
        const margin = 0.08 * (most - least || Math.abs(most) || 1);
        return [least - margin, most + margin];
      }},
      axes: [
        {stroke: colour('--ink'), grid: {show: false}, ticks: {stroke: colour('--grid')}, font: FONT, label: `${this.#about.what} in the order of testing`, labelFont: FONT, labelSize: 20, size: 30,
          values: (plot, splits) => splits.map(one => Number.isInteger(one) ? String(one) : '')},
        {stroke: colour('--ink'), grid: {stroke: colour('--grid')}, ticks: {stroke: colour('--grid')}, font: FONT, size: 84,
          values: (plot, splits) => splits.map(one => quantity(one, unit, 4))},
      ],
      series: [{stroke: colour('--line1'), width: 1.5, points: {show: false}}],
      hooks: {draw: [plot => clipped(plot, (ctx, bbox) => this.#marks(plot, ctx, bbox))]},
    }, [xs, points.map(one => one.mean)]);
  }

  #marks(plot, ctx, bbox) {
    const {points, guarded} = this.#view;
    const spread = this.#spread;
    const across = (y, from, to) => {
      ctx.beginPath();
      ctx.moveTo(from, y);
      ctx.lineTo(to, y);
      ctx.stroke();
    };
    const x = at => plot.valToPos(at, 'x', true);
    if (spread) {
      dash(ctx, '--line2', [], 1);
      across(plot.valToPos(spread.mean, 'y', true), bbox.left, bbox.left + bbox.width);
      dash(ctx, '--line2', [6, 5], 1);
      for (const y of [spread.low, spread.high]) across(plot.valToPos(y, 'y', true), bbox.left, bbox.left + bbox.width);
    }
    if (guarded) {
      dash(ctx, '--bound', [5, 4], 1.5);
      for (const y of [guarded.low, guarded.high]) if (y !== null) across(plot.valToPos(y, 'y', true), bbox.left, bbox.left + bbox.width);
    }
    dash(ctx, '--bound', [], 2);
    for (const one of points) {
      for (const limit of [one.low, one.high]) {
        if (limit !== null) across(plot.valToPos(limit, 'y', true), x(one.from - 0.5), x(one.to + 0.5));
      }
    }
    const size = Math.max(2, Math.min(4, (x(points[0].to + 0.5) - x(points[0].from - 0.5)) / devicePixelRatio / 2)) * devicePixelRatio;
    for (const one of points) {
      if (one.mean === null) continue;
      const px = x((one.from + one.to) / 2);
      const y = value => plot.valToPos(value, 'y', true);
      if (one.least !== one.most) {
        dash(ctx, '--line1', [], 1);
        ctx.beginPath();
        ctx.moveTo(px, y(one.least));
        ctx.lineTo(px, y(one.most));
        ctx.stroke();
      }
      const py = y(one.mean);
      if (this.#rules.has(one.from)) {
        dash(ctx, '--aborted', [], 2);
        ctx.beginPath();
        ctx.arc(px, py, size * 2.2, 0, 2 * Math.PI);
        ctx.stroke();
      }
      spot(ctx, px, py, size, !one.notPassed);
    }
  }

  words(plot, index) {
    const point = this.#view.points[index];
    const {one} = point;
    if (this.#about.words) return this.#about.words(point, this.#rules.get(point.from));
    if (one) {
      const rules = this.#rules.get(point.from);
      return `${one.unit}: ${typeset(one.shown)}${one.uncalibrated ? ', uncalibrated' : ''}, ${one.outcome}${one.limit ? ` (limit: ${typeset(one.limit)})` : ''}${rules ? `; ${rules.join('; ')}` : ''}`;
    }
    const told = value => quantity(value, this.#view.unit);
    const values = point.mean === null ? 'no valid value' : `${told(point.least)} to ${told(point.most)}, mean ${told(point.mean)}`;
    return `units ${point.from} to ${point.to}: ${values}${point.notPassed ? `, ${point.notPassed} not passed` : ''}`;
  }

  /** The x of both edges, half a point beyond the points. */
  ends() {
    const {points} = this.#view;
    return [points[0].from - 0.5, points.at(-1).to + 0.5];
  }
}
