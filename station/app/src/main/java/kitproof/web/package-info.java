/** Web servers of this program and what guards them; the shop's dashboard as pages. */
@NullMarked
package kitproof.web;

import org.jspecify.annotations.NullMarked;
