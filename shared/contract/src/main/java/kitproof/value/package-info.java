/**
 * Values that every part of the station agrees on: quantities, signals, curves, problems. JDK only.
 */
@NullMarked
package kitproof.value;

import org.jspecify.annotations.NullMarked;
