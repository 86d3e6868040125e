/**
 * Hands on what comes of a promise, as a function that gives it or throws its fault. A fault of work that
 * goes on beside the frames is not lost so: it goes to whoever waits for the next frame's report.
 */
export async function arrival<T>(promise: Promise<T>, take: (come: () => T) => void) {
  let come: () => T;
  try {
    const value = await promise;
    come = () => value;
  } catch (error) {
    come = () => {
      throw error;
    };
  }
  take(come);
}
