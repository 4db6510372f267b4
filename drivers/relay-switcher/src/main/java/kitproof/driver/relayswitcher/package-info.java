/** The driver "relay-switcher": named routes over relay boards that speak Modbus RTU or SCPI. */
@NullMarked
package kitproof.driver.relayswitcher;

import org.jspecify.annotations.NullMarked;
