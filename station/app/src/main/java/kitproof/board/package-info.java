/**
 * What stations have told, put together: the fold of their messages, from which a shop's dashboard
 * is drawn. Knows no sockets and no clock of its own, and trusts no message.
 */
@NullMarked
package kitproof.board;

import org.jspecify.annotations.NullMarked;
