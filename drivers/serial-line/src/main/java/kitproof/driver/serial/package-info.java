/**
 * Lines of bytes to instruments, serial or TCP, and the conversation over them: question and answer
 * with a deadline. The only package that sees the serial library.
 */
@NullMarked
package kitproof.driver.serial;

import org.jspecify.annotations.NullMarked;
