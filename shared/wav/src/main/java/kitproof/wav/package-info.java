/** Audio files of the RIFF WAVE form, read and written without loss. */
@NullMarked
package kitproof.wav;

import org.jspecify.annotations.NullMarked;
