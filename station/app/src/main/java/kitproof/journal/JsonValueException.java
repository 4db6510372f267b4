package kitproof.journal;

import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.databind.JsonMappingException;

/** JSON of the right shape whose value cannot be. */
final class JsonValueException extends JsonMappingException {
  private static final long serialVersionUID = 1L;

  JsonValueException(JsonParser json, String message) {
    super(json, message);
  }
}
