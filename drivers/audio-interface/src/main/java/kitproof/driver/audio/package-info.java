/** Driver plugin: plays and captures through Java Sound, or takes captures from WAV files. */
@NullMarked
package kitproof.driver.audio;

import org.jspecify.annotations.NullMarked;
