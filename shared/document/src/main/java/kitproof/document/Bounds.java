package kitproof.document;

import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;

/**
 * Lowest and highest good number, both included; of a quantity in its plain unit, of a time in
 * seconds.
 */
@Retention(RetentionPolicy.RUNTIME)
@Target({ElementType.RECORD_COMPONENT, ElementType.FIELD})
public @interface Bounds {
  double low() default Double.NEGATIVE_INFINITY;

  double high() default Double.POSITIVE_INFINITY;
}
