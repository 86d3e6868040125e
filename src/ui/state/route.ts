/** Which screen is shown: the part of the address after `#`. */
export type Route =
  | { readonly screen: 'bench' }
  | { readonly screen: 'jobs' }
  | { readonly screen: 'palette' }
  | { readonly screen: 'settings' }
  /** Light and camera, set up and checked. */
  | { readonly screen: 'light' }
  /** The lamps of the studio, and the same dab under two of them. */
  | { readonly screen: 'lamps' }
  /** What is known of the camera: made from a chart. */
  | { readonly screen: 'profile' }
  /** The tone response alone: from the tile, or from a grey step card. */
  | { readonly screen: 'tone' }
  /** How the paint dries and how many coats hide. */
  | { readonly screen: 'film' }
  /** The pot: its attempts, their way, what goes into it. */
  | { readonly screen: 'pot' }
  /** From the matched dab to the sprayed area. */
  | { readonly screen: 'spray' }
  /** What is left of mixes, in jars. */
  | { readonly screen: 'shelf' }
  /** Paints read on the tile, one after another. */
  | { readonly screen: 'characterise'; readonly pigment?: string }
  /** The blend map of what is in the picture, or one that was saved. */
  | { readonly screen: 'map'; readonly map?: string }
  /** The treatment record of a piece. */
  | { readonly screen: 'piece'; readonly piece: string }
  | { readonly screen: 'record'; readonly reading?: string };

export function routeOf(hash: string): Route {
  const [screen = '', ...rest] = hash.replace(/^#\/?/, '').split('/');
  switch (screen) {
    case 'jobs':
    case 'palette':
    case 'settings':
    case 'light':
    case 'lamps':
    case 'profile':
    case 'tone':
    case 'film':
    case 'pot':
    case 'spray':
    case 'shelf':
      return { screen };
    case 'characterise':
      return rest.length > 0 ? { screen, pigment: decodeURIComponent(rest.join('/')) } : { screen };
    case 'record':
      return rest.length > 0 ? { screen, reading: decodeURIComponent(rest.join('/')) } : { screen };
    case 'map':
      return rest.length > 0 ? { screen, map: decodeURIComponent(rest.join('/')) } : { screen };
    case 'piece':
      return { screen, piece: decodeURIComponent(rest.join('/')) };
    default:
      return { screen: 'bench' };
  }
}

export function hashOf(route: Route): string {
  if (route.screen === 'piece') return `#/piece/${encodeURIComponent(route.piece)}`;
  if (route.screen === 'map' && route.map) return `#/map/${encodeURIComponent(route.map)}`;
  if (route.screen === 'characterise' && route.pigment !== undefined) {
    return `#/characterise/${encodeURIComponent(route.pigment)}`;
  }
  return route.screen === 'record' && route.reading
    ? `#/record/${encodeURIComponent(route.reading)}`
    : `#/${route.screen}`;
}
