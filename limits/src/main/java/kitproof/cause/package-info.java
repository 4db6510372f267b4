/** What failed results usually mean: tables of probable causes, suggestions and not judgements. */
@NullMarked
package kitproof.cause;

import org.jspecify.annotations.NullMarked;
