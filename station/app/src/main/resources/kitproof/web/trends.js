// Of one result across a batch: means and ranges of groups, what the values go with, and whose a drift is.
import {byId, el, keyed, mark, say, typeset} from './dom.js';
import {SIZES, USUAL, chartsOf, wordsOf} from './groups.js';
import {Scatter} from './scatter.js';

const chance = against => against.probability === null ? '–'
  : against.probability < 0.0001 ? 'p < 0.0001' : `p = ${against.probability.toPrecision(2)}`;

/** Three sections of a page. */
export class Trends {
  #wanted;
  #kind = null; // what the chart is against, once somebody has chosen
  #charts = [];
  #drawn = '';
  #view = null;

  /**
   * @param wanted the page's parameters; "groups" and "standard" are set as they are chosen
   * @param changed called after they have changed
   */
  constructor(wanted, changed) {
    this.#wanted = wanted;
    keyed(byId('sizes'), SIZES, String, size => el('option', {value: String(size)}, `${size} units`));
    byId('sizes').value = String(this.#size());
    const choose = (id, name) => byId(id).addEventListener('change', event => {
      if (event.target.value) wanted.set(name, event.target.value);
      else wanted.delete(name);
      changed();
    });
    choose('sizes', 'groups');
    choose('standards', 'standard');
    byId('kinds').addEventListener('change', event => {
      this.#kind = event.target.value;
      this.#draw();
    });
  }

  #size() {
    const size = Number(this.#wanted.get('groups'));
    return SIZES.includes(size) ? size : USUAL;
  }

  /** What is asked besides the page's parameters. */
  get asked() {
    return {groups: this.#size(), zone: Intl.DateTimeFormat().resolvedOptions().timeZone || 'UTC'};
  }

  show(view) {
    this.#view = view;
    const told = view.statistics;
    byId('trends').hidden = !told;
    if (!told) return;
    say(byId('groups-words'), wordsOf(view, this.#size()));
    keyed(byId('against'), told.against, one => one.kind, one => el('tr', {},
      el('th', {scope: 'row'}, one.kind),
      el('td', {}, one.clear ? mark('notable', typeset(one.words)) : typeset(one.words)),
      el('td', {className: 'number'}, chance(one))));
    const drawable = told.against.filter(one => one.dots.length);
    keyed(byId('kinds'), drawable.map(one => one.kind), one => one, one => el('option', {value: one}, one));
    this.#draw();
    keyed(byId('standards'), ['', ...view.standards], one => one, one =>
      el('option', {value: one}, one === '' ? 'as stations say' : one));
    byId('standards').value = this.#wanted.get('standard') ?? '';
    byId('choose-standard').hidden = view.standards.length === 0;
    keyed(byId('drifts'), told.drifts, one => one.station, one => el('li', {},
      el('strong', {}, one.station), ': ', typeset(one.words)));
    say(byId('no-drift'), told.drifts.length ? '' : view.standards.length
      ? 'Nothing can be told apart yet: four runs of the check standard or more are needed, from before the batch to after it, with this result.'
      : 'No check standard has been measured in this shop: something that does not change, measured between the units, would tell drift of a station from drift of the units.');
  }

  /** The clearest first, unless somebody has chosen. */
  #chosen() {
    const drawable = this.#view.statistics.against.filter(one => one.dots.length);
    return drawable.find(one => one.kind === this.#kind)
      ?? [...drawable].sort((a, b) => (a.probability ?? 2) - (b.probability ?? 2))[0];
  }

  #draw() {
    const view = this.#view;
    const chosen = this.#chosen();
    const content = JSON.stringify([view.statistics.groups, chosen]);
    if (content === this.#drawn) return;
    this.#drawn = content;
    this.destroy();
    const groups = view.statistics.groups ? chartsOf(view) : [];
    const against = chosen ? [new Scatter(view.name, view.unit, chosen)] : [];
    this.#charts = [...groups, ...against];
    byId('groups').replaceChildren(...groups.map(one => one.node));
    byId('against-chart').replaceChildren(...against.map(one => one.node));
    if (chosen) byId('kinds').value = chosen.kind;
    byId('choose-kind').hidden = !chosen;
    this.#charts.forEach(one => one.draw());
  }

  get charts() {
    return this.#charts;
  }

  destroy() {
    this.#charts.forEach(one => one.destroy());
    this.#charts = [];
  }
}
