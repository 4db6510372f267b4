package kitproof.procedure;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** Every procedure the station knows, by id. */
public final class Procedures {
  private static final Map<String, Procedure<?>> ALL = new LinkedHashMap<>();

  static {
    for (Procedure<?> procedure :
        List.<Procedure<?>>of(
            new ReadingProcedure(),
            new ReadingAtPowerProcedure(),
            new ResistanceProcedure(),
            new SupplyRiseProcedure(),
            new WarmUpProcedure(),
            new DissipationProcedure(),
            new DriftProcedure(),
            new DischargeProcedure(),
            new GainProcedure(),
            new FrequencyResponseProcedure(),
            new DistortionProcedure(),
            new DistortionAgainstPowerProcedure(),
            new DistortionAgainstFrequencyProcedure(),
            new OutputImpedanceProcedure(),
            new InputImpedanceProcedure(),
            new CrosstalkProcedure(),
            new ChannelBalanceProcedure(),
            new ComparisonProcedure(),
            new SpectrumProcedure(),
            new DifferenceFrequencyDistortionProcedure(),
            new ModulationDistortionProcedure(),
            new HumProcedure(),
            new NoiseProcedure(),
            new SquareWaveProcedure(),
            new StabilityProcedure(),
            new PromptProcedure(),
            new EntryProcedure(),
            new AdjustProcedure(),
            new CalibrateLevelsProcedure(),
            new CalibratePathProcedure(),
            new CalibrateResistanceProcedure(),
            new CalibrateLeakageProcedure(),
            new CalibrateResidualProcedure(),
            new CheckLoopProcedure(),
            new CheckResistanceProcedure())) {
      ALL.put(procedure.id(), procedure);
    }
  }

  private Procedures() {}

  /** Ids in a fixed order. */
  public static List<String> ids() {
    return List.copyOf(ALL.keySet());
  }

  /** All of them, in the same order. */
  public static List<Procedure<?>> all() {
    return List.copyOf(ALL.values());
  }

  /** The procedure with this id. */
  public static Optional<Procedure<?>> byId(String id) {
    return Optional.ofNullable(ALL.get(id));
  }
}
