// What is to be run next: plan, batch, serial number.
import {address, byId, el, keyed, say} from './dom.js';
import {Papers} from './papers.js';

export class Order {
  #send;
  #plans = [];
  #busy = false;
  #asked = 0; // how often it has been asked what is wrong: only the last answer counts
  #started = null;
  #last = ''; // the run that goes on, or else the last one
  #opening = null; // who opens the lock for the run that is asked for, and why
  #papers = new Papers(() => this.#check()); // what was wrong with them may be no more

  /** @param send says something to the station and gives back what it answers */
  constructor(send) {
    this.#send = send;
    byId('order-form').addEventListener('submit', event => {
      event.preventDefault();
      this.#opening = null;
      this.#start(false);
    });
    byId('lock-form').addEventListener('submit', event => {
      event.preventDefault();
      this.#opening = {name: byId('opener').value, reason: byId('opening-reason').value};
      this.#start(false);
    });
    byId('plan').addEventListener('change', () => this.#check());
    for (const id of ['serial', 'calibrator']) byId(id).addEventListener('input', () => this.#refused('', null));
    byId('again-yes').addEventListener('click', () => this.#start(true));
    byId('again-no').addEventListener('click', () => {
      this.#refused('', null);
      byId('serial').select();
    });
    this.load();
  }

  /** The plans and the batches as they are now. */
  async load() {
    this.#batches();
    const answer = await fetch('/api/plans').catch(() => null);
    if (!answer?.ok) return;
    this.#plans = await answer.json();
    keyed(byId('plan'), this.#plans, plan => plan.id, plan =>
      el('option', {value: plan.id}, plan.sound ? `${plan.name} – ${plan.product} revision ${plan.revision}` : `${plan.id} (cannot be read)`));
    this.#check();
  }

  /** The usual batch stands there to begin with; all that there have been can be chosen. */
  async #batches() {
    const answer = await fetch('/api/batches').catch(() => null);
    if (!answer?.ok) return;
    const {usual, known} = await answer.json();
    keyed(byId('batches'), [...new Set(usual ? [usual, ...known] : known)], name => name, name => el('option', {value: name}));
    const batch = byId('batch');
    if (usual && !batch.value && !batch.dataset.usual) batch.value = usual;
    batch.dataset.usual = 'offered';
  }

  async #check() {
    const id = byId('plan').value;
    if (!id) return;
    this.#papers.show(!!this.#plans.find(plan => plan.id === id)?.calibrates);
    const asked = ++this.#asked;
    const answer = await fetch(address('/api/check', {plan: id})).catch(() => null);
    const problems = answer?.ok ? (await answer.json()).problems : null;
    if (problems && asked === this.#asked) this.#problems(problems);
  }

  #problems(all) {
    byId('problems-part').hidden = all.length === 0;
    keyed(byId('problems'), all, text => text, text => el('li', {}, text));
  }

  #refused(why, passed, locked = false) {
    say(byId('refused'), why);
    byId('refused').hidden = !why;
    byId('again').hidden = !passed;
    byId('start').hidden = !!passed;
    byId('lock-form').hidden = !locked;
    if (passed) say(byId('again-words'), `${byId('serial').value.trim()} has passed in run ${passed}. Test it again?`);
  }

  async #start(again) {
    if (this.#busy) return;
    this.#busy = true;
    byId('start').disabled = true;
    const before = this.#last;
    const papers = this.#papers.said;
    const answer = await this.#send('/api/start', {plan: byId('plan').value, unit: byId('serial').value, batch: byId('batch').value, again, opening: this.#opening, papers});
    if (answer.done) this.#papers.taken(papers && before);
    this.#busy = false;
    byId('start').disabled = false;
    this.#refused(answer.refused ?? '', answer.passed ?? null, !!answer.locked);
    this.#asked++; // what a check has yet to say is of before
    this.#problems(answer.problems ?? []);
    if (answer.passed) byId('again-no').focus(); // a scanner's second Enter is no decision
    else if (answer.done) this.#begun();
    else if (answer.locked) byId('lock-form').scrollIntoView({block: 'nearest'});
    else this.#lacking().select();
  }

  /** The field that a refusal is most likely about. */
  #lacking() {
    const calibrator = byId('calibrator');
    return byId('calibrator-part').hidden || calibrator.value.trim() ? byId('serial') : calibrator;
  }

  /** The next run asks anew: a lock is opened for one only. */
  #begun() {
    this.#started = byId('serial').value;
    this.#opening = null;
    for (const id of ['opener', 'opening-reason']) byId(id).value = '';
  }

  /** @param may whether this screen could start a run now */
  show(state, may) {
    this.#last = state.run?.run ?? '';
    if (!state.running && state.run?.verdict) this.#papers.over(this.#last, state.run.verdict === 'pass' && !state.trouble);
    const hidden = byId('order').hidden;
    byId('order').hidden = state.running || !may;
    if (state.running) return;
    if (this.#started === null && state.run && !byId('batch').value && !byId('batch').dataset.filled) {
      byId('batch').value = state.run.batch; // a page loaded again goes on with the batch
    }
    byId('batch').dataset.filled = 'yes';
    if (hidden && may) {
      byId('serial').value = '';
      this.load();
      byId('serial').focus({preventScroll: !!state.run});
    }
  }
}
