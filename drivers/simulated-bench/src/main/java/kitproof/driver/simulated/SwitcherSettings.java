package kitproof.driver.simulated;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import kitproof.driver.Route;
import kitproof.driver.Settings;
import kitproof.driver.simulated.unit.Fault;
import kitproof.value.Node;
import kitproof.value.Problem;
import kitproof.value.Unit;

/**
 * What a switcher role says: it owns the configuration of the unit.
 *
 * @param bench the name that the other roles give too
 * @param seed of the spread from unit to unit
 * @param relays relay name to what it is wired to
 * @param faults serial number to fault
 * @param trimmers where they stand when the unit comes to the bench, 0…1
 * @param loads resistors and capacitor
 * @param attenuation what the attenuator before the inputs divides by, at rest
 * @param contacts between the unit and the loads
 * @param room around the bench
 * @param wrong what {@link Settings} does not see by itself
 */
record SwitcherSettings(
    String bench,
    int seed,
    Map<String, Wiring> relays,
    Map<String, Fault> faults,
    Map<Trimmer, Double> trimmers,
    Loads loads,
    double attenuation,
    Contacts contacts,
    Room room,
    List<Problem> wrong) {
  private static final Pattern SERIAL = Pattern.compile("LN12-[0-9]{3}");
  private static final Pattern DIGITS = Pattern.compile("([0-9]{1,3})\\s*$");

  /** Reads them all; what is wrong is in {@code wrong} and in the settings' own problems. */
  static SwitcherSettings read(Settings settings, List<Route> routes) {
    List<Problem> wrong = new ArrayList<>();
    String bench = settings.text("bench");
    int seed = settings.integer("seed", 0, Integer.MAX_VALUE, 12);
    Map<String, Wiring> relays = relays(settings.part("relays"), wrong);
    Map<String, Fault> faults = faults(settings.part("faults"), wrong);
    Map<Trimmer, Double> trimmers = trimmers(settings.part("trimmers"));
    Loads loads = Loads.read(settings);
    double attenuation = settings.quantity("attenuation", Unit.ONE, 4).value();
    if (attenuation < 1) {
      settings.reject("attenuation", "1 or more");
    }
    Contacts contacts = Contacts.read(settings);
    Room room = Room.read(settings);
    for (Route route : routes) {
      for (String relay : route.relays()) {
        if (!relays.containsKey(relay)) {
          wrong.add(
              Problem.unknownName(
                  settings.section().get("relays").orElse(settings.section()).location(),
                  "route \"" + route.name() + "\": relay",
                  relay,
                  relays.keySet()));
        }
      }
    }
    return new SwitcherSettings(
        bench,
        seed,
        relays,
        faults,
        trimmers,
        loads,
        attenuation,
        contacts,
        room,
        List.copyOf(wrong));
  }

  private static Map<String, Wiring> relays(Settings section, List<Problem> wrong) {
    Map<String, Wiring> relays = new LinkedHashMap<>();
    for (Node.Entry entry : section.section().entries()) {
      int before = section.problems().size();
      Wiring wiring = section.choice(entry.key(), Wiring.class, null);
      boolean understood = section.problems().size() < before;
      if (understood && relays.containsValue(wiring)) {
        wrong.add(
            Problem.of(
                entry.value().location(),
                "a second relay wired to " + wiring,
                "one relay for each purpose"));
      }
      relays.put(entry.key(), wiring);
    }
    return relays;
  }

  private static Map<Trimmer, Double> trimmers(Settings section) {
    Map<Trimmer, Double> positions = new EnumMap<>(Trimmer.class);
    for (Trimmer trimmer : Trimmer.values()) {
      String key = trimmer.toString();
      double percent = section.quantity(key, Unit.PERCENT, 50).value();
      if (percent < 0 || percent > 100) {
        section.reject(key, "0 % to 100 %");
      } else {
        positions.put(trimmer, percent / 100);
      }
    }
    return positions;
  }

  private static Map<String, Fault> faults(Settings section, List<Problem> wrong) {
    Map<String, Fault> faults = new LinkedHashMap<>();
    for (Node.Entry entry : section.section().entries()) {
      if (!SERIAL.matcher(entry.key()).matches()) {
        Matcher digits = DIGITS.matcher(entry.key());
        wrong.add(
            new Problem(
                entry.location(),
                "serial number \"" + entry.key() + "\"",
                "a serial number such as LN12-003",
                digits.find()
                    ? String.format(Locale.ROOT, "LN12-%03d", Integer.parseInt(digits.group(1)))
                    : null));
      }
      faults.put(entry.key(), section.choice(entry.key(), Fault.class, null));
    }
    return faults;
  }
}
