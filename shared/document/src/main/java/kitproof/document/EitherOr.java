package kitproof.document;

import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;

/**
 * A record of two components that says, for the schema only, that a section is one of two kinds: of
 * the first one's if it has the key under which that component goes, else of the second one's.
 */
@Retention(RetentionPolicy.RUNTIME)
@Target(ElementType.TYPE)
public @interface EitherOr {}
