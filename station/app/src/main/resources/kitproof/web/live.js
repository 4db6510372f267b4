// Keeps a page up to date, and says when what it shows is old.
import {byId, say, clock, keyed, mark} from './dom.js';

const SILENCE = 10_000; // the server beats every three seconds
const AGAIN = 2_000;
const ASIDE = 5_000; // a page that nobody looks at asks now and then: the station hears that it is there

/**
 * Shows what an address answers, now and after every change there.
 *
 * @param where gives the address to ask
 * @param show takes the answer; null if there is nothing there
 * @param who answers, as a person says it
 * @param told takes whether what is shown is old, as often as that is looked at
 * @param keeps tells whether the page keeps its line though nobody sees it: a browser lets the timers
 *     of hidden pages sleep, but not what comes by the line
 * @returns a function that asks again at once
 */
export function live(where, show, who = 'the board', told = () => {}, keeps = () => false) {
  let heard = Date.now();
  let shown = null;
  let trouble = 'waiting for the first answer';
  let link = null; // why there can be no news, as the server's events say; null if there can
  let asking = false;
  let again = false;
  let seen = {}; // which address answered last, and its tag

  async function ask() {
    if (asking) {
      again = true;
      return;
    }
    asking = true;
    asked = Date.now();
    do {
      again = false;
      try {
        const wanted = where();
        const answer = await fetch(wanted, {
          headers: seen.address === wanted && seen.tag ? {'If-None-Match': seen.tag} : {},
          signal: AbortSignal.timeout(SILENCE),
        });
        if (answer.status === 401) {
          location.assign('/login');
          return;
        }
        const same = answer.status === 304;
        if (!answer.ok && answer.status !== 404 && !same) throw new Error(`it answers ${answer.status}`);
        const content = answer.ok ? await answer.json() : null;
        if (wanted !== where()) again = true;
        else {
          if (!same) {
            seen = {address: wanted, tag: answer.ok ? answer.headers.get('ETag') : null};
            show(content);
          }
          shown = Date.now();
          if (!source) heard = shown; // without a line an answer is all there is to hear
          trouble = null;
        }
      } catch (e) {
        trouble = `${who} does not answer`;
        console.warn(e);
      }
      tell();
    } while (again);
    asking = false;
  }

  function tell() {
    const silent = Date.now() - heard > SILENCE;
    const reason = silent ? `${who} is silent` : trouble ?? link?.why ?? null;
    const since = link && !silent && !trouble ? link.since : shown;
    const stale = byId('stale');
    stale.hidden = !reason || (!shown && !silent);
    if (!stale.hidden) keyed(stale, [`What you see is old${since ? `, from ${clock(since, true)}` : ''}: ${reason}. It goes on by itself.`], text => text, text => mark('old', text));
    say(byId('link'), reason ? 'not live' : 'live');
    byId('link').className = reason ? 'state down' : 'state up';
    told(!!reason);
  }

  let source = null;
  let asked = Date.now();
  function listen() {
    if (source || aside()) return;
    source = new EventSource('/events');
    source.onmessage = event => {
      heard = Date.now();
      const [, since, why] = /^\d+ (\d+) (.+)$/.exec(event.data) ?? [];
      link = why ? {since: Number(since), why} : null;
      if (aside()) leave();
      ask();
    };
    source.onerror = () => {
      ask(); // it may be that only this line is broken; if not, this says so at once
      if (source?.readyState === EventSource.CLOSED) { // the browser gave up
        leave();
        setTimeout(listen, AGAIN);
      }
    };
  }

  const aside = () => document.hidden && !keeps();

  function leave() {
    source?.close();
    source = null;
  }

  // A browser has six lines to a server: a page that is left, or that nobody sees, gives its own free,
  // and takes one again when it comes back.
  addEventListener('pagehide', leave);
  addEventListener('pageshow', event => event.persisted && listen());
  document.addEventListener('visibilitychange', () => {
    if (aside()) leave();
    if (!document.hidden) {
      listen();
      ask();
    }
  });
  setInterval(() => {
    tell();
    if (trouble || (document.hidden && Date.now() - asked >= ASIDE)) ask();
  }, AGAIN);
  listen();
  ask();
  return ask;
}
