package kitproof.document;

import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;

/**
 * What stands in a raw {@link kitproof.value.Node}, or in each of a list of them: for the schema
 * only, the binder hands the node on as it is.
 */
@Retention(RetentionPolicy.RUNTIME)
@Target({ElementType.RECORD_COMPONENT, ElementType.FIELD})
public @interface Holds {
  Class<? extends Record> value();
}
