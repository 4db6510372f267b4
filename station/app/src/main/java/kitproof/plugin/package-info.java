/** Finds driver plugins on the class path and in the plugins folder. */
@NullMarked
package kitproof.plugin;

import org.jspecify.annotations.NullMarked;
