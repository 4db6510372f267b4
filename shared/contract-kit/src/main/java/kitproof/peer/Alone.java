package kitproof.peer;

import java.lang.annotation.ElementType;
import java.lang.annotation.Retention;
import java.lang.annotation.RetentionPolicy;
import java.lang.annotation.Target;
import org.junit.jupiter.api.Tag;

/**
 * An integration test beside which no other one runs, as what it plays on a sound server or
 * measures of real time would suffer. In modules whose tests run side by side, these have an
 * execution of their own.
 */
@Target(ElementType.TYPE)
@Retention(RetentionPolicy.RUNTIME)
@Tag("alone")
public @interface Alone {}
