// The operator's screen: a fold of the state that the station sends, and what the operator says.
import {byId, el, keyed, lasting, mark, say, typeset} from './dom.js';
import {live} from './live.js';
import {Asking, reading} from './question.js';
import {Order} from './order.js';
import {titled, verdict} from './verdict.js';

const OPENING = {
  yes: ['Safe to open', 'M8 1a7 7 0 1 0 0 14A7 7 0 0 0 8 1ZM6.9 11.6 3.6 8.3l1.3-1.3 2 2 4.2-4.2 1.3 1.3Z'],
  no: ['Do not open', 'M8 1a7 7 0 1 0 0 14A7 7 0 0 0 8 1ZM3.500 6.800h9v2.400h-9Z'],
  unknown: ['Not known: treat as live', 'M8 1l8 14H0Zm-.9 5v4.500h1.800V6Zm0 5.600v1.700h1.800v-1.700Z'],
};
const UNCALIBRATED = 'Uncalibrated: no figure of this run is corrected or known to any accuracy.';
const CALIBRATES = 'Uncalibrated: this run calibrates the bench.';
let state = null;
let stale = true; // nothing has been heard yet
let announced = '';
const STOP_PATIENCE = 3_000; // longer than this nobody waits with a hand at the switch
const readings = [];

/** Says something to the station; what it answers, or why it could not be said. */
async function send(path, body, patience = null) {
  try {
    const answer = await fetch(path, {signal: patience && AbortSignal.timeout(patience), method: 'POST', headers: {'Content-Type': 'application/json', 'Kitproof-Token': state?.token ?? ''}, body: JSON.stringify(body)});
    const said = answer.ok ? await answer.json() : {done: false, refused: (await answer.text()).slice(0, 300)};
    ask();
    return said;
  } catch (e) {
    if (e.name === 'TimeoutError') return {done: false, refused: `The station has not answered within ${patience / 1000} s. Use the bench’s emergency stop.`};
    return {done: false, refused: 'The station does not answer. If you meant to stop: use the bench’s emergency stop.'};
  }
}

function trouble(text) {
  byId('trouble').hidden = !text;
  say(byId('trouble'), text);
}

/** Whatever this page believes: the station knows what a stop finds. */
async function stop(watch) {
  if (!state) { // the page's token comes with the state
    const answer = await fetch('/api/state', {signal: AbortSignal.timeout(STOP_PATIENCE)}).catch(() => null);
    if (answer?.ok) show(await answer.json());
  }
  const said = await send('/api/stop', {watch}, STOP_PATIENCE);
  trouble(!said.done ? said.refused : stale ? 'The station has taken the stop; what this page shows is from before.' : '');
}

const asking = new Asking(byId('question'), async given => {
  const said = await send('/api/answer', given);
  return said.done ? null : said.refused;
});
const order = new Order(send);

const onlyWatch = s => !!s.run && (s.run.stopping || s.run.discharging);

function drawStop(s) {
  const button = byId('stop');
  const may = stale || s.running; // of an old page nobody knows whether something runs
  const watch = !stale && s.running && onlyWatch(s);
  button.disabled = !may || (watch && !s.control.mine);
  button.classList.toggle('watch', watch);
  button.setAttribute('aria-keyshortcuts', watch ? '' : 'Escape');
  keyed(button, watch ? ['Stopped: end the watch …'] : ['Stop', may ? 'Esc' : 'nothing runs'], word => word, word =>
    word === 'Stop' || watch ? el('span', {}, word) : el('small', {}, word));
}

/** Of an old page nobody knows. */
function drawOpening(told) {
  const word = stale ? 'unknown' : told;
  const [words, shape] = OPENING[word] ?? OPENING.unknown;
  keyed(byId('opening'), [{words, shape}], one => one.words, one => {
    const svg = document.createElementNS('http://www.w3.org/2000/svg', 'svg');
    svg.setAttribute('viewBox', '0 0 16 16');
    svg.setAttribute('aria-hidden', 'true');
    const path = document.createElementNS('http://www.w3.org/2000/svg', 'path');
    path.setAttribute('fill-rule', 'evenodd');
    path.setAttribute('d', one.shape);
    svg.append(path);
    return el('span', {}, svg, one.words);
  });
  byId('opening').className = `opening ${word}`;
}

function drawRail(s) {
  drawOpening(s.opening.word);
  byId('volts').classList.toggle('old', stale);
  const rail = s.rail;
  const old = rail.value && rail.ageSeconds > 3;
  say(byId('volts'), typeset(rail.value) || 'not read yet');
  byId('rail-bar').style.visibility = rail.limit ? 'visible' : 'hidden';
  byId('rail-fill').style.width = `${100 * rail.share}%`;
  const after = s.running && onlyWatch(s) && s.opening.word === 'no';
  const limit = rail.limit && !after ? `above ${typeset(rail.limit)} the mains is taken away` : '';
  say(byId('rail-note'), stale ? 'as last told; what it is now is not known' : [after ? (s.run.discharging ? 'mains off, the discharge is being measured' : 'stopping; the discharge is measured next') : s.unit && !s.running ? `${s.unit}: ${s.opening.reason}` : typeset(s.opening.reason), s.run?.uncalibrated && rail.value ? 'uncalibrated' : '', old ? `read ${lasting(rail.ageSeconds)} ago` : '', s.running ? limit : ''].filter(part => part).join(' · '));
}

function drawDriving(s) {
  const {mine, held, free, here} = s.control;
  const words = !here ? 'This screen watches. A run is started at the bench, by its operator; you can stop it.'
    : mine ? 'You drive this bench.'
    : held ? 'Another screen drives this bench; this one watches, and can stop.'
    : s.running ? 'Nobody drives this run.' : '';
  say(byId('driving-words'), words);
  const take = byId('take');
  take.hidden = !(here && (mine || (free && (held || s.running))));
  say(take, mine ? 'Give back the controls' : 'Take the controls');
  byId('driving').hidden = !words && take.hidden;
}

/** As many readings as there are channels; built once, so that nothing jumps. */
function drawLive(all, uncalibrated) {
  byId('live').hidden = all.length === 0;
  while (readings.length < all.length) {
    readings.push(reading());
    byId('live').append(readings.at(-1).node);
  }
  readings.forEach((one, i) => {
    one.node.hidden = i >= all.length;
    if (i < all.length) one.update(all[i], '', uncalibrated);
  });
}

function drawRun(s) {
  const run = s.run;
  const going = s.running;
  byId('now').hidden = !going;
  if (going) {
    say(byId('unit'), run ? [s.unit, `${run.product} revision ${run.revision}`, run.batch && `batch ${run.batch}`].filter(part => part).join(' · ') : s.unit);
    say(byId('step'), !run || run.index < 0 ? (run?.verdict ? 'Writing the record' : 'Getting ready') : run.step);
    say(byId('conditions'), typeset(run?.conditions));
    drawLive(run?.question?.kind === 'adjust' ? [] : run?.live ?? [], !!run?.uncalibrated);
    byId('progress').value = run?.share ?? 0;
    const pace = s.pace === 1 ? '' : ` at the bench; simulated, ${s.pace} times as fast`;
    say(byId('left'), run && run.index >= 0 ? `step ${run.index + 1} of ${run.steps}, about ${lasting(run.leftSeconds)} left${pace}` : '');
  }
  byId('standing').hidden = !run?.uncalibrated;
  keyed(byId('standing'), [run?.calibrates ? CALIBRATES : UNCALIBRATED], words => words, words => mark('uncalibrated', words));
  asking.show(going ? run?.question ?? null : null, s.control.mine, !!run?.uncalibrated);
  verdict(run, !going && !!run?.verdict);
  byId('results-part').hidden = !run || run.results.length === 0;
  if (run) {
    say(byId('counts'), `${run.passed} passed, ${run.failed} failed${run.others ? `, ${run.others} not judged` : ''}`);
    keyed(byId('results'), run.results.map(one => ({...one, uncalibrated: run.uncalibrated})), one => `${one.step} ${one.title} ${one.value}`, one =>
      el('li', {className: 'result'}, mark(one.outcome), titled(one.title),
        el('span', {className: 'number'}, typeset(one.value), one.uncertainty && el('span', {className: 'uncertainty quiet'}, typeset(one.uncertainty)), one.uncalibrated && el('span', {className: 'remark'}, 'uncalibrated')),
        el('span', {className: 'limit quiet'}, typeset(one.limit || one.detail))));
  }
  const told = [...(run?.notices ?? []), ...s.notes.slice(-4)];
  byId('notices-part').hidden = told.length === 0;
  keyed(byId('notices'), [...new Set(told)], text => text, text => el('li', {}, typeset(text)));
}

function announce(s) {
  const run = s.run;
  const words = !run ? '' : run.verdict && !s.running ? `${s.unit}: ${run.verdict}` : run.question ? run.question.text : run.step;
  if (words && words !== announced) say(byId('news'), words);
  announced = words;
}

function show(s) {
  if (!s) return;
  state = s;
  document.title = `${s.running ? `${s.unit} – ` : ''}${s.station} – Test station`;
  say(byId('station'), `${s.station}, ${s.shop}`);
  drawStop(s);
  drawRail(s);
  drawDriving(s);
  drawRun(s);
  if (s.trouble || !byId('trouble').hidden) trouble(s.trouble ? `The last run: ${s.trouble}` : s.running ? byId('trouble').textContent : '');
  order.show(s, s.control.free && (s.control.mine || !s.control.held));
  announce(s);
}

function draw(old) {
  if (stale === old) return;
  stale = old;
  document.body.classList.toggle('old', old);
  byId('now-old').hidden = !old;
  if (!state) return;
  drawStop(state);
  drawRail(state);
}

// A page that drives keeps its line when nobody sees it, so that the station goes on hearing of it; of
// several of one browser the one that was seen last, for a browser has six lines.
const pages = new BroadcastChannel('kitproof-driver');
let seenLast = true;
pages.onmessage = () => (seenLast = false);
document.addEventListener('visibilitychange', () => {
  seenLast = true;
  if (document.hidden) pages.postMessage('behind');
});
const drives = () => seenLast && !!state?.control.mine;

keyed(byId('now-old'), ['As last told: what is read now is not known.'], words => words, words => mark('old', words));
drawOpening('unknown');
const top = document.querySelector('.top');
new ResizeObserver(() => { // what gets the focus does not hide under the head, however high that is
  document.documentElement.style.scrollPaddingTop = `${top.offsetHeight + 8}px`;
}).observe(top);
const ask = live(() => '/api/state', show, 'the station', draw, drives);

const sure = byId('sure');
byId('stop').addEventListener('click', () => {
  if (!stale && onlyWatch(state)) sure.showModal();
  else stop(false);
});
byId('sure-no').addEventListener('click', () => sure.close());
byId('sure-yes').addEventListener('click', () => {
  sure.close();
  stop(true);
});
addEventListener('keydown', event => {
  if (event.key !== 'Escape' || event.repeat || event.isComposing || sure.open) return;
  if (!stale && (!state.running || onlyWatch(state))) return;
  event.preventDefault();
  stop(false);
}, true);
byId('take').addEventListener('click', async () => {
  const said = await send('/api/control', {take: !state.control.mine});
  trouble(said.done ? '' : said.refused);
});
