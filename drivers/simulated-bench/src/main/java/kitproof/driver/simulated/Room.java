package kitproof.driver.simulated;

import kitproof.driver.Settings;
import kitproof.value.Unit;

/**
 * What the room around the bench is like. Nothing on the bench depends on it.
 *
 * @param celsius its temperature
 * @param percent its relative humidity
 */
record Room(double celsius, double percent) {
  /** Common practice for a room in which one measures, no source. */
  static final Room USUAL = new Room(23, 45);

  /** Reads a switcher's {@code room}. */
  static Room read(Settings settings) {
    Settings room = settings.part("room");
    double celsius = room.quantity("temperature", Unit.CELSIUS, USUAL.celsius).value();
    double percent = room.quantity("humidity", Unit.PERCENT, USUAL.percent).value();
    if (celsius < -20 || celsius > 60) {
      room.reject("temperature", "-20 °C to 60 °C");
    }
    if (percent < 0 || percent > 100) {
      room.reject("humidity", "0 % to 100 %");
    }
    return new Room(celsius, percent);
  }

  double at(Point point) {
    return point == Point.ROOM_TEMPERATURE ? celsius : percent;
  }
}
