package kitproof.mqtt;

import javax.net.ssl.SSLException;
import org.eclipse.paho.mqttv5.common.MqttException;
import org.jspecify.annotations.Nullable;

/** What the MQTT library reports, in words an operator can act on. */
final class PahoReasons {
  private PahoReasons() {}

  /** Why a connection was not made. */
  static String connecting(BrokerAddress broker, Credentials credentials, MqttException e) {
    String who = "the broker " + broker;
    // reason codes of CONNACK: MQTT 5.0, 3.2.2.2
    switch (e.getReasonCode()) {
      case 0x04, 0x86 -> {
        return who + " refused user " + credentials + " or the password; see " + Credentials.USER;
      }
      case 0x05, 0x87 -> {
        return who + " does not admit " + credentials + "; see " + Credentials.USER;
      }
      case 0x01, 0x84 -> {
        return who + " does not speak MQTT 5";
      }
      default -> {}
    }
    if (e.getReasonCode() >= 0x80 && e.getReasonCode() <= 0xff) {
      return who + " refused the connection" + code(e.getReasonCode());
    }
    for (Throwable t = e; t != null; t = t.getCause()) {
      if (t instanceof SSLException) {
        return who + " is not trusted: " + t.getMessage() + "; see " + Credentials.AUTHORITIES;
      }
    }
    return who + " cannot be reached: " + of(e);
  }

  /** The innermost reason there is. */
  static String of(@Nullable Throwable thrown) {
    if (thrown == null) {
      return "connection lost";
    }
    Throwable innermost = thrown;
    while (innermost.getCause() != null) {
      innermost = innermost.getCause();
    }
    String message = innermost.getMessage();
    return message == null || message.isBlank() ? innermost.getClass().getSimpleName() : message;
  }

  static String code(int reason) {
    return " (MQTT reason code " + reason + ")";
  }
}
