/**
 * Files that people write: YAML in, records or the complete list of located problems out.
 *
 * <p>The only code that sees the YAML library and the schema generator. Pure apart from {@link
 * kitproof.document.YamlReader#read(java.nio.file.Path)}.
 */
@NullMarked
package kitproof.document;

import org.jspecify.annotations.NullMarked;
