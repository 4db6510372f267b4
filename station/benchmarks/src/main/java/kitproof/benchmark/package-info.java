/** How fast the station's parts are, each beside something outside the project where there is. */
@NullMarked
package kitproof.benchmark;

import org.jspecify.annotations.NullMarked;
