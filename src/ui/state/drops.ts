/** Files dropped anywhere on the page, for the screen that stands there. */
import type { ReactiveControllerHost } from 'lit';

/** @param take given what was dropped, while the host is connected */
export function takeDrops(
  host: ReactiveControllerHost,
  take: (dropped: DataTransfer | null) => void,
): void {
  const over = (event: DragEvent) => event.preventDefault();
  const drop = (event: DragEvent) => {
    event.preventDefault();
    take(event.dataTransfer);
  };
  // On the document: what no screen takes comes to the window, which refuses it.
  host.addController({
    hostConnected() {
      document.addEventListener('dragover', over);
      document.addEventListener('drop', drop);
    },
    hostDisconnected() {
      document.removeEventListener('dragover', over);
      document.removeEventListener('drop', drop);
    },
  });
}
