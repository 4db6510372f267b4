package kitproof.architecture;

import static com.tngtech.archunit.base.DescribedPredicate.describe;
import static com.tngtech.archunit.lang.conditions.ArchConditions.be;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.fields;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.methods;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static org.assertj.core.api.Assertions.assertThat;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.AccessTarget;
import com.tngtech.archunit.core.domain.JavaAccess;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaModifier;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import kitproof.driver.AudioInterface;
import kitproof.driver.BenchClock;
import kitproof.driver.BenchContext;
import kitproof.driver.DriverProvider;
import kitproof.driver.Instrument;
import kitproof.driver.Meter;
import kitproof.driver.Operator;
import kitproof.driver.RelayBoard;
import kitproof.driver.Switcher;
import kitproof.event.Event;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** How the code behaves everywhere. */
class HabitsTest {
  private static final Map<String, Set<String>> OWN_TIME =
      Map.of(
          "java.lang.System", Set.of("nanoTime", "currentTimeMillis"),
          "java.lang.Thread", Set.of("sleep"),
          "java.util.concurrent.TimeUnit", Set.of("sleep"),
          "java.time.Instant", Set.of("now"),
          "java.time.LocalDate", Set.of("now"),
          "java.time.LocalDateTime", Set.of("now"),
          "java.time.OffsetDateTime", Set.of("now"),
          "java.time.ZonedDateTime", Set.of("now"),
          "java.time.Clock", Set.of("systemUTC", "systemDefaultZone", "system"));

  @Test
  void onlyTheWiringOfTheCommandLineKnowsTheWallClock() {
    noClasses()
        .that(House.oursOutside("kitproof.cli.."))
        .should()
        .accessTargetWhere(
            target(
                "tells or spends time of its own",
                t -> OWN_TIME.getOrDefault(t.getOwner().getName(), Set.of()).contains(t.getName())))
        .check(House.ALL);
  }

  @Test
  void noDefaultLocaleCharsetOrZone() {
    noClasses()
        .should()
        .accessTargetWhere(target("depends on the machine's settings", HabitsTest::asksTheMachine))
        .check(House.ALL);
  }

  private static boolean asksTheMachine(AccessTarget target) {
    List<String> parameters =
        target instanceof AccessTarget.CodeUnitCallTarget call
            ? call.getRawParameterTypes().stream().map(JavaClass::getSimpleName).toList()
            : List.of();
    return switch (target.getOwner().getName() + "." + target.getName()) {
      case "java.util.Locale.getDefault",
          "java.nio.charset.Charset.defaultCharset",
          "java.time.ZoneId.systemDefault",
          "java.util.TimeZone.getDefault",
          "java.lang.String.formatted" ->
          true;
      case "java.lang.String.toLowerCase",
          "java.lang.String.toUpperCase",
          "java.lang.String.getBytes" ->
          parameters.isEmpty();
      case "java.lang.String.format", "java.io.PrintStream.printf", "java.io.PrintWriter.printf" ->
          !parameters.contains("Locale");
      case "java.io.FileReader.<init>", "java.io.FileWriter.<init>", "java.util.Scanner.<init>" ->
          !parameters.contains("Charset");
      default -> false;
    };
  }

  @Test
  void chanceIsSeededAndOnlyInTheSimulatedUnit() {
    noClasses()
        .that(House.oursOutside("kitproof.driver.simulated.."))
        .should()
        .dependOnClassesThat()
        .haveNameMatching(
            "java\\.util\\.(Random|SplittableRandom|concurrent\\.ThreadLocalRandom)"
                + "|java\\.util\\.random\\..*|java\\.util\\.UUID")
        .check(House.ALL);
    // What nobody may guess, and a name that no other folder may have, are no figures of a
    // measurement.
    noClasses()
        .that()
        .doNotHaveFullyQualifiedName("kitproof.web.Secret")
        .and()
        .doNotHaveFullyQualifiedName("kitproof.store.FolderName")
        .should()
        .dependOnClassesThat()
        .haveFullyQualifiedName("java.security.SecureRandom")
        .check(House.ALL);
    noClasses()
        .should()
        .accessTargetWhere(
            target(
                "is chance without a seed",
                t ->
                    t.getFullName().equals("java.util.Random.<init>()")
                        || t.getFullName().equals("java.lang.Math.random()")))
        .check(House.ALL);
  }

  @Test
  void onlyConsoleAndCommandLinePrint() {
    noClasses()
        .that(House.oursOutside("kitproof.cli..", "kitproof.console.."))
        .should()
        .accessTargetWhere(
            target(
                "is a standard stream",
                t ->
                    t.getOwner().getName().equals("java.lang.System")
                        && Set.of("out", "err", "in").contains(t.getName())))
        .check(House.ALL);
    noClasses()
        .should()
        .accessTargetWhere(
            target("prints a stack trace", t -> t.getName().equals("printStackTrace")))
        .check(House.ALL);
  }

  @Test
  void onlyTheCommandLineEndsTheProgram() {
    noClasses()
        .that(House.oursOutside("kitproof.cli.."))
        .should()
        .accessTargetWhere(
            target(
                "ends the program",
                t ->
                    Set.of("java.lang.System.exit(int)", "java.lang.Runtime.halt(int)")
                        .contains(t.getFullName())))
        .check(House.ALL);
  }

  @Test
  void noMethodDeclaresOrThrowsAnythingGoes() {
    methods()
        .that()
        .areDeclaredInClassesThat(House.oursOutside())
        .should()
        .notDeclareThrowableOfType(Throwable.class)
        .check(House.ALL);
    noClasses()
        .should()
        .accessTargetWhere(
            target(
                "is an exception that says nothing",
                t ->
                    t.getName().equals("<init>")
                        && Set.of(
                                "java.lang.Exception",
                                "java.lang.RuntimeException",
                                "java.lang.Throwable",
                                "java.lang.Error")
                            .contains(t.getOwner().getName())))
        .check(
            House.ALL.that(
                describe("are no exceptions themselves", c -> !c.isAssignableTo(Throwable.class))));
  }

  @Test
  void eventsAreRecords() {
    assertThat(Event.class.getPermittedSubclasses()).hasSizeGreaterThan(5);
    classes()
        .that()
        .areAssignableTo(Event.class)
        .and()
        .areNotInterfaces()
        .should(be(describe("a record", JavaClass::isRecord)))
        .check(House.ALL);
  }

  @Test
  void noRecordHasAnArray() {
    fields()
        .that()
        .areDeclaredInClassesThat(describe("are records", JavaClass::isRecord))
        .and()
        .areNotStatic()
        .should()
        .notHaveRawType(describe("an array", JavaClass::isArray))
        .check(
            House.ALL.that(
                describe("are public", c -> c.getModifiers().contains(JavaModifier.PUBLIC))));
  }

  @ParameterizedTest
  @ValueSource(
      classes = {
        DriverProvider.class,
        Instrument.class,
        Meter.class,
        Switcher.class,
        AudioInterface.class,
        Operator.class,
        RelayBoard.class,
        BenchClock.class,
        BenchContext.class
      })
  void aDriverMeetsFourAbstractMethodsAtMost(Class<?> type) {
    Set<String> own =
        House.ALL.get(type).getMethods().stream()
            .filter(m -> m.getModifiers().contains(JavaModifier.ABSTRACT))
            .map(m -> m.getName())
            .collect(Collectors.toSet());
    assertThat(own).isNotEmpty().hasSizeLessThanOrEqualTo(4);
  }

  @Test
  void thereIsNoOtherInterfaceInTheContract() {
    assertThat(
            House.ALL.stream()
                .filter(c -> c.getPackageName().equals("kitproof.driver"))
                .filter(c -> c.isInterface() && !c.isAnnotation() && c.isTopLevelClass())
                .map(JavaClass::getSimpleName)
                .filter(name -> !name.equals("package-info")))
        .containsExactlyInAnyOrder(
            "DriverProvider",
            "Instrument",
            "Meter",
            "Switcher",
            "AudioInterface",
            "RelayBoard",
            "BenchClock",
            "BenchContext",
            "Operator",
            "Question",
            "Answer",
            "Reading");
  }

  private static DescribedPredicate<JavaAccess<?>> target(
      String what, Predicate<AccessTarget> test) {
    return DescribedPredicate.describe(what, access -> test.test(access.getTarget()));
  }
}
