package kitproof.plugin;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Jars as they are found in plugins folders, most of them broken. */
class DriverLoaderTest {
  private static final String[] OURS = {
    "serial-meter", "relay-switcher", "audio-interface", "simulated-bench"
  };

  @TempDir Path folder;

  /** The least that a driver can be. */
  private static String source(String name, String id, String constructor) {
    return """
    package %1$s;

    import java.util.List;
    import java.util.Set;
    import kitproof.driver.BenchContext;
    import kitproof.driver.DriverDescription;
    import kitproof.driver.DriverProvider;
    import kitproof.driver.Instrument;
    import kitproof.driver.InstrumentException;
    import kitproof.driver.InstrumentKind;
    import kitproof.driver.Route;
    import kitproof.driver.Settings;
    import kitproof.value.Problem;

    public final class Door implements DriverProvider {
      public static final Object MARK = new Object();

      public Door() {
        %3$s
      }

      @Override
      public DriverDescription describe() {
        return new DriverDescription("%2$s", "Does nothing.", Set.of(), List.of());
      }

      @Override
      public List<Problem> check(InstrumentKind kind, Settings settings, List<Route> routes) {
        return List.of();
      }

      @Override
      public Instrument open(InstrumentKind kind, Settings settings, BenchContext context)
          throws InstrumentException {
        throw new InstrumentException(InstrumentException.Kind.OTHER, "does nothing");
      }
    }
    """
        .formatted(name, id, constructor);
  }

  private static PluginJar driver(String id) throws IOException {
    return PluginJar.compiled("plugin.Door", source("plugin", id, ""));
  }

  private Drivers load() {
    return DriverLoader.load(folder);
  }

  @Test
  void withoutAFolderThereAreTheDriversOfTheClassPath() {
    Drivers drivers = DriverLoader.load(folder.resolve("none"));
    assertThat(drivers.byId()).containsOnlyKeys(OURS);
    assertThat(drivers.origins().values()).containsOnly("class path");
    assertThat(drivers.troubles()).isEmpty();
  }

  @Test
  void jarsAreTakenInTheOrderOfTheirNamesEachWithAClassLoaderOfItsOwn() throws Exception {
    // The same class name in both: with one class loader the second would be the first's.
    driver("second").write(folder.resolve("b.jar"));
    driver("first").write(folder.resolve("a.jar"));
    Files.writeString(folder.resolve("c.txt"), "no jar by its name, and nobody's business");
    Drivers drivers = load();
    assertThat(drivers.troubles()).isEmpty();
    assertThat(drivers.byId().keySet()).startsWith(OURS).endsWith("first", "second").hasSize(6);
    assertThat(drivers.origins()).containsEntry("first", "a.jar").containsEntry("second", "b.jar");
    Class<?> first = drivers.byId().get("first").getClass();
    Class<?> second = drivers.byId().get("second").getClass();
    assertThat(first).isNotSameAs(second).hasToString(second.toString());
    assertThat(first.getField("MARK").get(null)).isNotSameAs(second.getField("MARK").get(null));
  }

  @Test
  void everyBrokenJarIsNamedWithItsReasonAndTheOthersWork() throws IOException {
    driver("good").write(folder.resolve("a-good.jar"));
    Files.writeString(folder.resolve("b-no-zip.jar"), "this is text");
    driver("c").without("plugin/Door.class").write(folder.resolve("c-class-missing.jar"));
    PluginJar.compiled(
            "plugin.Door",
            source("plugin", "d", "throw new IllegalStateException(\"no licence\");"))
        .write(folder.resolve("d-throws.jar"));
    driver("e").api("2").write(folder.resolve("e-newer.jar"));
    driver("f").api("").write(folder.resolve("f-no-version.jar"));
    driver("good").write(folder.resolve("g-again.jar"));
    driver("h").services("").write(folder.resolve("h-empty.jar"));
    driver("i").services("plugin.Dor").write(folder.resolve("i-misspelt.jar"));
    driver("j").services("java.lang.String").write(folder.resolve("j-no-driver.jar"));
    driver("serial-meter").write(folder.resolve("k-like-ours.jar"));
    driver("l").api("one").write(folder.resolve("l-odd-version.jar"));
    driver("m").services("plugin.Door\nplugin.Missing").write(folder.resolve("m-half.jar"));
    driver("z-good").write(folder.resolve("z-good.jar"));
    Files.createDirectory(folder.resolve("n-folder.jar"));

    Drivers drivers = load();

    assertThat(drivers.byId().keySet())
        .startsWith(OURS)
        .endsWith("good", "m", "z-good")
        .hasSize(OURS.length + 3);
    assertThat(drivers.origins())
        .containsEntry("good", "a-good.jar")
        .containsEntry("serial-meter", "class path");
    assertThat(drivers.troubles().stream().map(Drivers.Trouble::toString))
        .satisfiesExactly(
            t -> assertThat(t).startsWith("b-no-zip.jar: is not a readable jar: "),
            t -> assertThat(t).startsWith("c-class-missing.jar: ").contains("plugin.Door"),
            t -> assertThat(t).startsWith("d-throws.jar: ").contains("no licence"),
            t ->
                assertThat(t)
                    .isEqualTo("e-newer.jar: made for driver contract 2; this station has 1"),
            t ->
                assertThat(t)
                    .isEqualTo("f-no-version.jar: its manifest has no Driver-Api; expected 1"),
            t ->
                assertThat(t)
                    .isEqualTo("g-again.jar: driver \"good\" is there already, from a-good.jar"),
            t -> assertThat(t).startsWith("h-empty.jar: names no driver in META-INF/services/"),
            t -> assertThat(t).startsWith("i-misspelt.jar: ").contains("plugin.Dor"),
            t -> assertThat(t).startsWith("j-no-driver.jar: names no driver in META-INF/services/"),
            t ->
                assertThat(t)
                    .isEqualTo(
                        "k-like-ours.jar: driver \"serial-meter\" is there already, from class"
                            + " path"),
            t -> assertThat(t).startsWith("l-odd-version.jar: made for driver contract one"),
            t -> assertThat(t).startsWith("m-half.jar: ").contains("plugin.Missing"),
            t -> assertThat(t).startsWith("n-folder.jar: is not a readable jar: "));
  }

  @Test
  void aDriverThatCannotDescribeItselfIsLeftOut() throws IOException {
    for (String answer :
        List.of("null", "new DriverDescription(null, \"\", Set.of(), List.of())")) {
      PluginJar.compiled(
              "plugin.Door",
              source("plugin", "x", "")
                  .replaceFirst("new DriverDescription\\(.*?\\);", answer + ";"))
          .write(folder.resolve("x.jar"));
      Drivers drivers = load();
      assertThat(drivers.byId()).containsOnlyKeys(OURS);
      assertThat(drivers.troubles()).singleElement().hasToString("x.jar: it does not say its id");
    }
  }

  @Test
  void aDriverThatWasBuiltAgainstMoreThanThereIsIsLeftOut() throws IOException {
    PluginJar.compiled(
            "plugin.Door", source("plugin", "x", "new Helper();") + "\nclass Helper {}\n")
        .without("plugin/Helper.class")
        .write(folder.resolve("x.jar"));
    assertThat(load().troubles())
        .singleElement()
        .asString()
        .startsWith("x.jar: ")
        .contains("Helper");
    assertThat(load().byId()).containsOnlyKeys(OURS);
  }
}
