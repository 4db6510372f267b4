/** The command line: the only package that knows all the others. */
@NullMarked
package kitproof.cli;

import org.jspecify.annotations.NullMarked;
