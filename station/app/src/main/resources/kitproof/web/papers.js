// Who calibrates, and what the papers of the instruments say: entered for the calibration that is about to begin.
import {byId, el, keyed} from './dom.js';

const SEPARATOR = '\u0000'; // between role and function, as neither has one
const KEPT = 'kitproof-papers'; // by the tab, so that a page that is loaded again still has them

/** What the tab keeps; null if nothing, or if the browser lets no page keep anything. */
function kept() {
  try {
    return JSON.parse(sessionStorage.getItem(KEPT) ?? 'null');
  } catch {
    return null;
  }
}

function keep(all) {
  try {
    sessionStorage.setItem(KEPT, JSON.stringify(all));
  } catch {
    // Then a page that is loaded again has to be told again; everything else goes on.
  }
}

export class Papers {
  #certificates = new Map();
  #accuracies = new Map();
  #changed;
  #before = null; // the run before the one that goes on with them; null if none does

  /** @param changed called when something has been entered or left out */
  constructor(changed) {
    this.#changed = changed;
    const before = kept();
    if (before) {
      this.#certificates = new Map(before.certificates);
      this.#accuracies = new Map(before.accuracies);
      this.#before = before.before;
      byId('calibrator').value = before.by;
      this.#list();
    }
    byId('calibrator').addEventListener('input', () => this.#keep());
    byId('certificate-form').addEventListener('submit', event => {
      event.preventDefault();
      const [role, number, date, due, by] = ['role', 'number', 'date', 'due', 'by'].map(part => byId(`certificate-${part}`).value.trim());
      this.#certificates.set(role, {role, number, date, due, by});
      this.#entered(event.target);
    });
    byId('accuracy-form').addEventListener('submit', event => {
      event.preventDefault();
      const [of, limits, resolution, range] = ['function', 'limits', 'resolution', 'range'].map(part => byId(`accuracy-${part}`).value.trim());
      const [role, name] = of.split(SEPARATOR);
      this.#accuracies.set(of, {role, function: name, limits, resolution, range});
      this.#entered(event.target);
    });
  }

  /** @param calibrates whether the chosen plan does; of another nothing can be entered */
  async show(calibrates) {
    byId('papers').hidden = !calibrates;
    byId('calibrator-part').hidden = !calibrates;
    if (!calibrates) return;
    const answer = await fetch('/api/instruments').catch(() => null);
    if (!answer?.ok) return;
    const all = await answer.json();
    keyed(byId('papers-known'), all.filter(one => one.papers.length > 0), one => one.role, one =>
      el('li', {}, `${one.role}: ${one.papers.join('; ')}`));
    keyed(byId('certificate-role'), all, one => one.role, one => el('option', {value: one.role}, one.role));
    const functions = all.flatMap(one => one.functions.map(name => ({of: one.role + SEPARATOR + name, words: `${one.role}: ${name}`})));
    keyed(byId('accuracy-function'), functions, one => one.of, one => el('option', {value: one.of}, one.words));
  }

  /** What has been entered, as the station takes it; null where nothing can be. */
  get said() {
    return byId('papers').hidden ? null : {by: byId('calibrator').value.trim(), certificates: [...this.#certificates.values()], accuracies: [...this.#accuracies.values()]};
  }

  /** A run begins. @param before the run before it, empty if there was none; null if it goes without papers */
  taken(before) {
    this.#before = before;
    this.#keep();
  }

  /** A run is over: after a calibration that ended well they stand in its file; else it is tried again. */
  over(run, well) {
    if (this.#before === null || run === this.#before) return;
    this.#before = null;
    if (well) {
      this.#certificates.clear();
      this.#accuracies.clear();
      byId('calibrator').value = '';
      this.#list();
    }
    this.#keep();
  }

  #keep() {
    keep({certificates: [...this.#certificates], accuracies: [...this.#accuracies], by: byId('calibrator').value, before: this.#before});
  }

  #entered(form) {
    for (const input of form.querySelectorAll('input')) input.value = '';
    this.#list();
    this.#keep();
    this.#changed();
  }

  #list() {
    const lines = [
      ...[...this.#certificates].map(([key, one]) => ({key, kind: this.#certificates, text: `${one.role}: certificate ${one.number} of ${one.by}, ${one.date} until ${one.due}`})),
      ...[...this.#accuracies].map(([key, one]) => ({key, kind: this.#accuracies, text: `${one.role}, ${one.function}: ${[one.limits, one.resolution && `resolution ${one.resolution}`, one.range && `range ${one.range}`].filter(part => part).join(', ')}`})),
    ];
    byId('papers-title').hidden = lines.length === 0;
    keyed(byId('papers-entered'), lines, one => one.text, one => {
      const away = el('button', {type: 'button', 'aria-label': `Leave out ${one.text}`}, 'Leave out');
      away.addEventListener('click', () => {
        one.kind.delete(one.key);
        this.#list();
        this.#keep();
        this.#changed();
      });
      return el('li', {}, `${one.text} `, away);
    });
  }
}
