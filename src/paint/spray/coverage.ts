/**
 * What a volume of paint covers. The identity of the coatings trade: a litre is 1000 cm³, of which the
 * solids stay, so that m²/L = 10 × volume solids % / dry film µm.
 */
import {
  millilitres,
  type Micrometres,
  type Millilitres,
  type SquareCentimetres,
} from './quantities.ts';

/** Theoretical spreading rate, m²/L. Volume solids in (0, 100] %, dry film > 0 µm. */
export function spreadingRate(volumeSolidsPercent: number, dryFilm: Micrometres): number {
  return (10 * volumeSolidsPercent) / dryFilm;
}

/** Paint that lies on the piece once all coats are on, before what the air takes. */
export function paintOnPiece(
  area: SquareCentimetres,
  coats: number,
  volumeSolidsPercent: number,
  dryFilm: Micrometres,
): Millilitres {
  const squareMetres = (area * coats) / 1e4;
  return millilitres((1000 * squareMetres) / spreadingRate(volumeSolidsPercent, dryFilm));
}
