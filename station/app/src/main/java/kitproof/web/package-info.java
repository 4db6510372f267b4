/** The shop's dashboard as pages: a small web server around a board, and the pages themselves. */
@NullMarked
package kitproof.web;

import org.jspecify.annotations.NullMarked;
