// Stations as cards.
import {address, clock, el, lasting, mark, opening, typeset} from './dom.js';

const unitAt = (shop, run) => address('/unit', {shop, product: run.product, unit: run.unit, run: run.run});

function since(station) {
  if (station.state === 'offline') return station.since ? `since ${clock(station.since)}` : 'since before this board started';
  if (!station.simulated) return '';
  return station.pace === 0 || station.pace === 1 ? 'simulated bench' : `simulated bench, ${Number(station.pace.toPrecision(2))} times as fast`;
}

function running(station, run) {
  const was = station.state === 'offline';
  const done = run.index < 0 ? 'about to begin' : `step ${run.index + 1} of ${run.steps}`;
  const left = run.remaining === null || was ? '' : `, about ${lasting(run.remaining)} left`;
  return [
    el('p', {className: 'serial'}, was ? 'was testing ' : '', el('a', {href: unitAt(station.shop, run)}, run.unit)),
    el('p', {className: 'step'}, typeset(run.step) || 'getting ready'),
    el('progress', {max: 1, value: run.progress, ariaLabel: `${run.unit}: progress`}),
    el('p', {className: 'quiet'}, done + left),
    run.judged && el('p', {className: 'judged'}, mark(run.judged.outcome), ' ', typeset(run.judged.title),
      run.judged.outcome === 'pass' || !run.judged.detail ? '' : `: ${typeset(run.judged.detail)}`),
  ];
}

function idle(station) {
  const latest = station.latest;
  return latest
    ? [el('p', {className: 'serial'}, el('a', {href: unitAt(station.shop, latest)}, latest.unit)),
       el('p', {}, mark(latest.verdict), ` at ${clock(latest.ended)}`)]
    : [el('p', {className: 'quiet'}, 'no unit yet')];
}

/** A card that tells all there is of a station. */
export function card(station) {
  const at = station.running && station.state !== 'online';
  return el('li', {className: `station ${station.state}`},
    el('div', {className: 'row'},
      el('h3', {}, station.station, el('span', {className: 'quiet'}, ` ${station.shop}`)),
      mark(station.state)),
    since(station) && el('p', {className: station.state === 'offline' ? 'since' : 'quiet'}, since(station)),
    station.uncalibrated && el('p', {className: 'standing'}, mark('uncalibrated')),
    station.silentMinutes > 0 && el('p', {}, mark('silent', `silent for ${lasting(60 * station.silentMinutes)}`)),
    ...(at ? running(station, station.running) : idle(station)),
    station.opening && opening(station.opening),
    station.notices.length
      ? el('ul', {className: 'notices'}, ...station.notices.map(text => el('li', {}, typeset(text))))
      : null);
}
