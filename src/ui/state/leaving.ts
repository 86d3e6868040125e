/** Leaving over what is not kept: out of the page the browser asks, out of a screen the app does. */
import type { ReactiveControllerHost } from 'lit';

/** @param wouldLose asked at the moment of leaving the page, while the host is connected */
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

const onScreen = new Set<() => boolean>();

/** What goes with its screen: asked before another screen takes its place, and before the page is left. */
export function askBeforeLeavingScreen(
  host: ReactiveControllerHost,
  wouldLose: () => boolean,
): void {
  askBeforeLeaving(host, wouldLose);
  host.addController({
    hostConnected() {
      onScreen.add(wouldLose);
    },
    hostDisconnected() {
      onScreen.delete(wouldLose);
    },
  });
}

/** Whether another screen in place of this one would lose something. */
export const wouldLoseOnScreen = (): boolean => [...onScreen].some((wouldLose) => wouldLose());
