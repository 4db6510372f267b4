// The buttons that lead through a long table, page by page.
import {byId, say} from './dom.js';

/**
 * Pages from 0 on.
 *
 * @param turned called after another page was asked for
 */
export class Pages {
  number = 0;

  constructor(turned) {
    const turn = by => () => {
      this.number += by;
      turned();
    };
    byId('newer').addEventListener('click', turn(-1));
    byId('older').addEventListener('click', turn(1));
  }

  /** What there is: a view with page and pageSize, and how many rows in all. */
  show(view, rows) {
    const all = Math.ceil(rows / view.pageSize);
    this.number = view.page;
    byId('pages').hidden = all < 2;
    say(byId('page'), `${view.page + 1} of ${all}`);
    byId('newer').disabled = view.page === 0;
    byId('older').disabled = view.page >= all - 1;
  }
}
