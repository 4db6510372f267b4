package kitproof.driver;

/** The version of this contract, which a plugin's manifest states as {@code Driver-Api}. */
public final class DriverApi {
  public static final int VERSION = 1;

  /** The manifest's attribute. */
  public static final String ATTRIBUTE = "Driver-Api";

  private DriverApi() {}
}
