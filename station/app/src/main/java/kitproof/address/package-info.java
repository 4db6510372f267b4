/** Addresses of servers as people write them on command lines. */
@NullMarked
package kitproof.address;

import org.jspecify.annotations.NullMarked;
