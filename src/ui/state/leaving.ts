/** Leaving the page over what is not kept: the browser asks first, in its own words. */
import type { ReactiveControllerHost } from 'lit';

/** @param wouldLose asked at the moment of leaving, while the host is connected */
export function askBeforeLeaving(host: ReactiveControllerHost, wouldLose: () => boolean): void {
  const ask = (event: BeforeUnloadEvent) => {
    if (wouldLose()) event.preventDefault();
  };
  host.addController({
    hostConnected() {
      window.addEventListener('beforeunload', ask);
    },
    hostDisconnected() {
      window.removeEventListener('beforeunload', ask);
    },
  });
}
