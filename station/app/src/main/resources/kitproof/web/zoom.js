// What is seen of a chart's x axis: zoomed and moved by buttons and by keys, as by the pointer.
import {el} from './dom.js';

/** What a chart's label says of the keys. */
export const KEYS = 'Left and right move the cursor, plus and minus zoom, Page Up and Page Down move along, 0 shows all.';

/** So far may an edge be from the point it was set to: zoomed on a logarithmic axis it comes back not quite exact. */
export const roundOff = (min, max) => 1e-9 * (max - min);

/** Zooms one chart; its plot is made anew now and then, so it is asked for. */
export class Zoom {
  #chart;

  /** @param chart with plot(), ends() as [least, greatest] x, move(by) of the cursor, and logarithmic */
  constructor(chart) {
    this.#chart = chart;
  }

  /** The buttons of a chart with this title. */
  buttons(title) {
    const button = (text, name, act) => el('button', {type: 'button', ariaLabel: `${title}: ${name}`, onclick: act}, text);
    return el('span', {className: 'zoom'},
      button('◀', 'earlier', () => this.#pan(-0.25)), button('▶', 'later', () => this.#pan(0.25)),
      button('+', 'zoom in', () => this.#zoom(0.5)), button('−', 'zoom out', () => this.#zoom(2)),
      button('All', 'show all', () => this.#all()));
  }

  /** Does what a key means, for the area that has the focus. */
  listen(area) {
    area.addEventListener('keydown', event => {
      const acts = {
        ArrowLeft: () => this.#chart.move(-1), ArrowRight: () => this.#chart.move(1),
        PageUp: () => this.#pan(-0.25), PageDown: () => this.#pan(0.25),
        '+': () => this.#zoom(0.5), '=': () => this.#zoom(0.5), '-': () => this.#zoom(2), 0: () => this.#all(),
      };
      const act = acts[event.key];
      if (act && !event.ctrlKey && !event.metaKey && !event.altKey) {
        event.preventDefault();
        act();
      }
    });
  }

  #to(x) {
    return this.#chart.logarithmic ? Math.log(x) : x;
  }

  #from(x) {
    return this.#chart.logarithmic ? Math.exp(x) : x;
  }

  #ends() {
    return this.#chart.ends().map(x => this.#to(x));
  }

  #range(change) {
    const plot = this.#chart.plot();
    const {min, max} = plot.scales.x;
    const [low, high] = change(this.#to(min), this.#to(max));
    const all = this.#ends();
    plot.setScale('x', {min: this.#from(Math.max(all[0], low)), max: this.#from(Math.min(all[1], high))});
    this.#follow(plot.cursor.idx);
  }

  /** The cursor stays on its point, as long as that is in sight. */
  #follow(index) {
    if (index === null || index === undefined) return;
    queueMicrotask(() => { // the chart takes a new scale at the end of its turn
      const plot = this.#chart.plot();
      const x = plot.data[0][index];
      const {min, max} = plot.scales.x;
      const slack = roundOff(min, max);
      if (x >= min - slack && x <= max + slack) plot.setCursor({left: Math.max(0, plot.valToPos(x, 'x')), top: 10});
    });
  }

  #zoom(factor) {
    const plot = this.#chart.plot();
    const index = plot.cursor.idx;
    this.#range((low, high) => {
      const centre = index === null || index === undefined ? (low + high) / 2 : this.#to(plot.data[0][index]);
      const wide = Math.max((high - low) * factor, this.#least());
      const left = high > low ? (centre - low) / (high - low) : 0.5;
      return [centre - left * wide, centre + (1 - left) * wide];
    });
  }

  /** Further in there is nothing more to be seen. */
  #least() {
    const all = this.#ends();
    return (all[1] - all[0]) / 1000;
  }

  #pan(part) {
    this.#range((low, high) => {
      const all = this.#ends();
      const by = Math.max(all[0] - low, Math.min(all[1] - high, part * (high - low)));
      return [low + by, high + by];
    });
  }

  #all() {
    const [min, max] = this.#chart.ends();
    const plot = this.#chart.plot();
    plot.setScale('x', {min, max});
    this.#follow(plot.cursor.idx);
  }
}
