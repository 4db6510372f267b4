// The verdict, large, with what failed and what that usually means.
import {byId, el, keyed, mark, say, typeset} from './dom.js';

const CAUTION = 'Suggestions, not judgements. Work inside the amplifier is for the qualified: mains off and unplugged, HV rail measured as discharged, before anything is touched.';

/** "gain (tap 8 ohm)": what it holds under is said more quietly. */
export function titled(title) {
  const at = title.indexOf(' (');
  return at < 0 ? el('span', {}, title) : el('span', {}, `${title.slice(0, at)} `, el('span', {className: 'quiet'}, typeset(title.slice(at + 1))));
}

function failure(one) {
  return el('li', {}, mark(one.outcome), ' ', titled(one.title), el('span', {className: 'detail'}, typeset(one.detail)));
}

function cause(one) {
  return el('li', {},
    el('strong', {}, typeset(one.where ? `${one.cause} (${one.where})` : one.cause)),
    one.look ? el('span', {}, one.look) : null,
    el('span', {className: 'quiet'}, typeset(`because of ${one.because.join(', ')}`)));
}

/** Shows it of a run that has ended; hides it otherwise. */
export function verdict(run, show) {
  byId('verdict').hidden = !show;
  if (!show) return;
  const parts = [run.unit, `${run.product} revision ${run.revision}`, run.batch && `batch ${run.batch}`, run.plan];
  say(byId('verdict-unit'), parts.filter(part => part).join(' · '));
  keyed(byId('verdict-title'), [run.verdict], word => word, word => mark(word));
  say(byId('verdict-reason'), run.verdict === 'fail' || run.verdict === 'pass' ? `${run.passed} ${run.passed === 1 ? 'result' : 'results'} passed, ${run.failed} failed` : run.reason);
  byId('failed-part').hidden = run.failures.length === 0;
  keyed(byId('failures'), run.failures.map((one, i) => ({...one, i})), one => String(one.i), failure);
  byId('causes-part').hidden = run.causes.length === 0;
  say(byId('causes-caution'), CAUTION);
  keyed(byId('causes'), run.causes.map((one, i) => ({...one, i})), one => String(one.i), cause);
}
