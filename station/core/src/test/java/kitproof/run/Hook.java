package kitproof.run;

import java.lang.reflect.InvocationTargetException;
import java.lang.reflect.Proxy;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;

/** What a test does in the middle of a driver call, before the fake behind it gets it. */
@FunctionalInterface
interface Hook {
  /** Does nothing. */
  Hook NONE = call -> {};

  /**
   * One call.
   *
   * @param number from 1, over all instruments of a bench
   * @param role whose it is
   * @param text method and arguments
   */
  record Call(int number, String role, String text) {}

  /** Anything thrown here is thrown by the driver. */
  void before(Call call) throws Throwable;

  /** Counts the calls of one bench and lets a hook at each. */
  final class Line {
    private static final Set<String> TOUCHING_NOTHING =
        Set.of("identity", "ports", "functions", "toString", "hashCode", "equals");

    private final List<Call> calls = new ArrayList<>();
    private final Hook hook;

    Line(Hook hook) {
      this.hook = hook;
    }

    synchronized List<Call> calls() {
      return List.copyOf(calls);
    }

    private synchronized Call next(String role, String text) {
      Call call = new Call(calls.size() + 1, role, text);
      calls.add(call);
      return call;
    }

    /** The same object with the hook before each of its calls. */
    <T> T on(Class<T> type, String role, T target) {
      return type.cast(
          Proxy.newProxyInstance(
              type.getClassLoader(),
              new Class<?>[] {type},
              (proxy, method, arguments) -> {
                if (!TOUCHING_NOTHING.contains(method.getName())) {
                  String what = arguments == null ? "" : " " + arguments[0];
                  hook.before(next(role, method.getName() + what));
                }
                try {
                  return method.invoke(target, arguments);
                } catch (InvocationTargetException e) {
                  throw e.getCause();
                }
              }));
    }
  }
}
