package kitproof.driver.kit;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.ServiceLoader;
import java.util.Set;
import java.util.TreeSet;
import kitproof.driver.DriverDescription;
import kitproof.driver.DriverProvider;
import kitproof.driver.InstrumentKind;
import kitproof.driver.Route;
import kitproof.driver.Settings;
import kitproof.value.Problem;
import org.junit.jupiter.api.Test;

/** What holds for every driver's door. Nothing here needs hardware. */
public abstract class ProviderContract {
  /**
   * Sound settings of a role.
   *
   * @param kind the kind of instrument
   * @param settings as {@link Nodes#settings} takes them; ports in it need not exist
   * @param routes empty unless it is a switcher
   */
  public record Example(InstrumentKind kind, Map<String, ?> settings, List<Route> routes) {
    Settings section() {
      return Nodes.settings(settings);
    }
  }

  public abstract DriverProvider provider();

  /** Sound settings: at least one per kind, together giving every setting a chance to be read. */
  public abstract List<Example> examples();

  @Test
  void describesItselfInWords() {
    DriverDescription description = provider().describe();
    assertThat(description.id()).matches("[a-z][a-z0-9]*(-[a-z0-9]+)*");
    assertThat(description.summary()).isNotBlank().doesNotContain("\n");
    assertThat(description.kinds()).isNotEmpty();
    assertThat(description.settings().stream().map(DriverDescription.Setting::key))
        .doesNotHaveDuplicates();
    assertThat(description.settings())
        .allSatisfy(
            setting -> {
              assertThat(setting.key()).isNotBlank();
              assertThat(setting.form()).isNotBlank();
              assertThat(setting.meaning()).isNotBlank();
            });
  }

  @Test
  void hasAnExamplePerKind() {
    assertThat(examples().stream().map(Example::kind).distinct())
        .containsExactlyInAnyOrderElementsOf(provider().describe().kinds());
  }

  @Test
  void findsNothingWrongWithSoundSettingsOnAMachineWithoutTheHardware() {
    for (Example example : examples()) {
      assertThat(check(example, example.section())).as(example.toString()).isEmpty();
    }
  }

  @Test
  void anUnknownSettingIsAProblemThatNamesIt() {
    for (Example example : examples()) {
      Map<String, Object> more = new LinkedHashMap<>(example.settings());
      more.put("unheard-of-setting", "1");
      assertThat(check(example, Nodes.settings(more)))
          .singleElement()
          .satisfies(
              problem -> {
                assertThat(problem.found()).contains("unheard-of-setting");
                assertThat(problem.location().line()).isPositive();
              });
    }
  }

  @Test
  void everySettingWithoutInitialValueIsMissedWhenItIsLeftOut() {
    for (DriverDescription.Setting setting : provider().describe().settings()) {
      if (!setting.initial().isEmpty()) {
        continue;
      }
      for (Example example : examples()) {
        if (example.settings().containsKey(setting.key())) {
          Map<String, Object> less = new LinkedHashMap<>(example.settings());
          less.remove(setting.key());
          assertThat(check(example, Nodes.settings(less)))
              .as("without " + setting.key())
              .isNotEmpty();
        }
      }
    }
  }

  @Test
  void describesExactlyTheSettingsThatItReads() {
    Set<String> read = new TreeSet<>();
    for (Example example : examples()) {
      Settings section = example.section();
      check(example, section);
      read.addAll(section.keysRead());
    }
    assertThat(provider().describe().settings().stream().map(DriverDescription.Setting::key))
        .containsExactlyInAnyOrderElementsOf(read);
  }

  /** The README stands in the driver's folder, where its tests run. */
  @Test
  void theReadmeNamesEverySetting() throws Exception {
    String readme = Files.readString(Path.of("README.md"));
    assertThat(provider().describe().settings())
        .allSatisfy(setting -> assertThat(readme).contains("`" + setting.key() + "`"));
  }

  @Test
  void isFoundByTheServiceLoader() {
    assertThat(ServiceLoader.load(DriverProvider.class).stream().map(ServiceLoader.Provider::type))
        .anyMatch(type -> type.equals(provider().getClass()));
  }

  @Test
  void canTellWhatIsPresentOnThisMachineEvenIfItIsNothing() {
    assertThat(provider().present()).doesNotContainNull();
  }

  private List<Problem> check(Example example, Settings section) {
    return provider().check(example.kind(), section, example.routes());
  }
}
