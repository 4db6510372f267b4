package kitproof.document;

import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;

/**
 * One text may stand where a section of this record is wanted: it is what goes under this key, and
 * every other key is left out.
 */
@Retention(RetentionPolicy.RUNTIME)
@Target(ElementType.TYPE)
public @interface InShort {
  /** The key, as written in the file. */
  String value();
}
