package kitproof.document;

/**
 * One flat section whose keys depend on the word under one of them: the common keys and the word's
 * own keys stand side by side.
 *
 * @param word the word that decided, with its place
 * @param common the keys that every section of this kind has
 * @param special the word's own keys
 * @param <C> a record
 * @param <S> the interface of the records that {@link Variants} names for its words
 */
public record Variant<C, S>(Located<String> word, C common, S special) {}
