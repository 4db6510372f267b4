// Readings as bars, and what the person is asked. Built once for each question, so that a live value
// takes neither the focus nor what is being typed.
import {el, say, typeset} from './dom.js';

/** A reading against its limits: the value large, a word for where it is, and a bar. */
export function reading() {
  const value = el('p', {className: 'value'});
  const where = el('p', {className: 'where'});
  const span = el('span', {className: 'window'});
  const needle = el('span', {className: 'needle'});
  const track = el('div', {className: 'track', ariaHidden: 'true'}, span, needle);
  const low = el('span', {});
  const high = el('span', {});
  const source = el('p', {className: 'quiet'});
  const node = el('div', {className: 'reading'}, source, value, where, track, el('p', {className: 'ends quiet'}, low, high));
  return {
    node,
    update(live, more = '', uncalibrated = false) {
      say(source, uncalibrated ? `${live.source}, uncalibrated` : live.source);
      say(value, typeset(live.value));
      const inside = live.where === 'inside';
      say(where, live.where ? `${inside ? '✓' : live.where === 'too low' ? '▼' : '▲'} ${live.where}${more}` : more);
      where.className = `where ${inside ? 'inside' : live.where ? 'off' : ''}`;
      where.hidden = !where.textContent;
      track.hidden = live.at === null;
      if (live.at !== null) {
        needle.style.insetInlineStart = `${100 * live.at}%`;
        span.style.insetInlineStart = `${100 * live.from}%`;
        span.style.insetInlineEnd = `${100 * (1 - live.to)}%`;
      }
      say(low, typeset(live.low && live.high ? `${live.low} to ${live.high}` : live.low ? `at least ${live.low}` : live.high ? `at most ${live.high}` : ''));
      say(high, '');
    },
  };
}

/** A card that asks; `answer` takes {number, declined, text} and gives back why it was refused. */
export class Asking {
  #node;
  #answer;
  #key = '';
  #bar = null;
  #settled = null;

  constructor(node, answer) {
    this.#node = node;
    this.#answer = answer;
  }

  show(question, mine, uncalibrated) {
    this.#node.hidden = !question;
    if (!question) {
      this.#key = '';
      this.#node.replaceChildren();
      return;
    }
    const key = JSON.stringify([question.number, question.kind, question.text, mine]);
    if (key !== this.#key) {
      this.#key = key;
      this.#build(question, mine);
    }
    if (this.#bar && question.bar) {
      const seconds = `${question.settledSeconds.toFixed(1)} s of ${question.dwellSeconds.toFixed(1)} s`;
      this.#bar.update(question.bar, question.bar.where === 'inside' ? `, ${seconds}` : '', uncalibrated);
      this.#settled.value = Math.min(1, question.settledSeconds / question.dwellSeconds);
    }
  }

  #build(question, mine) {
    const title = el('h2', {id: 'question-text', tabIndex: -1}, typeset(question.text));
    this.#bar = null;
    const parts = [el('p', {className: 'quiet'}, question.kind === 'adjust' ? `Adjust: ${question.control}` : 'The bench asks'), title];
    if (question.caution) parts.push(el('p', {className: 'caution'}, `Caution: ${typeset(question.caution)}`));
    if (question.kind === 'adjust') {
      this.#bar = reading();
      this.#settled = el('progress', {max: 1, value: 0, ariaLabel: 'How long it has stayed inside'});
      parts.push(this.#bar.node, this.#settled);
    }
    if (question.number === null) parts.push(el('p', {className: 'quiet'}, 'Answered by whoever plays the operator on this bench.'));
    else if (!mine) parts.push(el('p', {className: 'quiet'}, 'Answered at the screen that drives this run.'));
    else parts.push(this.#form(question));
    this.#node.replaceChildren(...parts);
    if (document.activeElement === document.body || !document.activeElement) {
      (this.#node.querySelector('.entry') ?? title).focus();
    }
  }

  #form(question) {
    const refused = el('p', {className: 'refused', role: 'alert', hidden: true});
    const say2 = async (declined, text) => {
      const why = await this.#answer({number: question.number, declined, text});
      refused.hidden = !why;
      say(refused, why ?? '');
    };
    const why = el('input', {id: 'why', maxLength: 200});
    const no = el('details', {className: 'why'}, el('summary', {}, 'It cannot be done'),
      el('label', {htmlFor: 'why'}, 'Why not'), why,
      el('button', {type: 'button', id: 'decline', onclick: () => say2(true, why.value)}, 'Give it up'));
    const form = el('form', {autocomplete: 'off'});
    if (question.kind === 'entry') {
      const value = el('input', {id: 'entry', className: 'large entry', inputMode: 'decimal', required: true, maxLength: 40});
      form.append(el('label', {htmlFor: 'entry'}, `${question.expected}${question.unit ? `, in ${question.unit}` : ''}`), value,
        el('div', {className: 'buttons'}, el('button', {className: 'large primary', id: 'done'}, 'Enter')));
      form.addEventListener('submit', event => {
        event.preventDefault();
        say2(false, value.value);
      });
    } else if (question.kind === 'confirm') {
      form.append(el('div', {className: 'buttons'}, el('button', {type: 'button', className: 'large primary', id: 'done', onclick: () => say2(false, '')}, 'Done')));
      form.addEventListener('submit', event => event.preventDefault());
    } else {
      form.append(el('p', {className: 'quiet'}, 'It is accepted by itself when it has stayed inside for long enough.'));
      form.addEventListener('submit', event => event.preventDefault());
    }
    form.append(refused, no);
    return form;
  }
}
