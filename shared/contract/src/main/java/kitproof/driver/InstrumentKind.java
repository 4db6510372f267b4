package kitproof.driver;

/** The kinds of instrument a bench has, as they are named in the bench file. */
public enum InstrumentKind {
  METER("meter", Meter.class),
  SWITCHER("switcher", Switcher.class),
  AUDIO_INTERFACE("audio-interface", AudioInterface.class),
  OPERATOR("operator", Operator.class);

  private final String word;
  private final Class<? extends Instrument> type;

  InstrumentKind(String word, Class<? extends Instrument> type) {
    this.word = word;
    this.type = type;
  }

  /** The interface an instrument of this kind implements. */
  public Class<? extends Instrument> type() {
    return type;
  }

  /** The word in files and messages. */
  @Override
  public String toString() {
    return word;
  }
}
