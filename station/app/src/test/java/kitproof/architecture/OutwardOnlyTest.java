package kitproof.architecture;

import static com.tngtech.archunit.base.DescribedPredicate.describe;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;

import com.tngtech.archunit.core.domain.JavaMethodCall;
import org.junit.jupiter.api.Test;

/** Results go outward only: nobody starts or steers a run from afar. */
class OutwardOnlyTest {
  private static final String DASHBOARD = "kitproof\\.cli\\.ShopBoard(\\$.*)?";
  private static final String EAR = "kitproof\\.mqtt\\.PahoEar(\\$.*)?";

  @Test
  void onlyTheEarSubscribes() {
    noClasses()
        .that()
        .haveNameNotMatching(EAR)
        .should()
        .callMethodWhere(
            describe(
                "it subscribes at a broker",
                (JavaMethodCall call) ->
                    call.getName().startsWith("subscribe")
                        && call.getTargetOwner().getName().startsWith("org.eclipse.paho")))
        .check(House.ALL);
    // Without this a client that is renamed would let the rule above pass.
    classes()
        .that()
        .haveFullyQualifiedName("kitproof.mqtt.PahoEar")
        .should()
        .callMethodWhere(
            describe(
                "it subscribes at a broker",
                (JavaMethodCall call) ->
                    call.getName().equals("subscribe")
                        && call.getTargetOwner().getName().startsWith("org.eclipse.paho")))
        .check(House.ALL);
  }

  @Test
  void onlyTheDashboardListens() {
    noClasses()
        .that()
        .resideOutsideOfPackage("kitproof.mqtt")
        .and()
        .haveNameNotMatching(DASHBOARD)
        .should()
        .dependOnClassesThat()
        .haveNameMatching("kitproof\\.mqtt\\.Listener(\\$.*)?")
        .check(House.ALL);
  }

  /** The operator's screen is the station's own; it hears of its run from the journal alone. */
  @Test
  void theOperatorsScreenHearsNoBroker() {
    noClasses()
        .that()
        .resideInAnyPackage("kitproof.screen..")
        .or()
        .haveNameMatching(
            "kitproof\\.cli\\.(ServeCommand|ServedStation|OrderFiles|AfterRun|PlanShelf)(\\$.*)?")
        .should()
        .dependOnClassesThat()
        .haveNameMatching("kitproof\\.mqtt\\.(Listener|PahoEar)(\\$.*)?|kitproof\\.board\\..*")
        .check(House.ALL);
    // Only the screen's server and the command line start a run.
    noClasses()
        .that()
        .resideOutsideOfPackages("kitproof.screen..", "kitproof.cli..")
        .should()
        .dependOnClassesThat()
        .haveNameMatching("kitproof\\.screen\\.Station(\\$.*)?")
        .check(House.ALL);
  }

  @Test
  void theDashboardReachesNoStation() {
    noClasses()
        .that()
        .haveNameMatching(DASHBOARD)
        .or()
        .resideInAnyPackage("kitproof.board..", "kitproof.web..")
        .should()
        .dependOnClassesThat()
        .resideInAnyPackage(
            "kitproof.run..",
            "kitproof.operator..",
            "kitproof.plan..",
            "kitproof.procedure..",
            "kitproof.plugin..")
        .check(House.ALL);
  }
}
