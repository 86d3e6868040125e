/** How the form of the spray bench stands: fields in pairs, what they come to beside them. */
import { css } from 'lit';

export const sprayFormStyles = css`
  form {
    display: grid;
    gap: 8px;
    align-items: start;
  }
  .fields,
  .comes {
    display: grid;
    gap: 8px;
    min-inline-size: 0;
  }
  fieldset,
  section {
    display: grid;
    grid-template-columns: repeat(2, minmax(0, 1fr));
    gap: 10px;
    align-items: start;
    min-inline-size: 0;
    margin: 0;
    padding: 16px;
    border: 0;
    background: var(--control);
  }
  section {
    grid-template-columns: minmax(0, 1fr);
  }
  /* No legend: engines differ in whether one can be laid in a grid. */
  h3 {
    grid-column: 1 / -1;
    font-size: 1.125rem;
  }
  .wide {
    grid-column: 1 / -1;
  }
  /* Names of one line or two: the fields of a row stand at one height. */
  fieldset > label:not(.check) {
    grid-row: span 2;
    grid-template-rows: subgrid;
    row-gap: 4px;
  }
  /* A field's place, its name's row and its own, where there is none. */
  .no-time {
    grid-row: span 2;
  }
  label > span:first-child {
    align-self: end;
  }
  .field {
    display: grid;
    gap: 4px;
    align-content: start;
  }
  .unit {
    color: var(--ink-quiet);
    font-weight: 400;
  }
  .fault {
    font-size: 0.9375rem;
    font-weight: 700;
    line-height: 1.25;
  }
  .fault::before {
    content: '▲ ';
  }
  [aria-invalid='true'] {
    border-width: 3px;
  }
  .hint {
    color: var(--ink-quiet);
    font-size: 0.9375rem;
    line-height: 1.35;
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: 6px;
  }
  .check {
    display: flex;
    align-items: center;
    gap: 10px;
    min-block-size: var(--touch);
  }
  .big {
    font-size: 1.375rem;
    font-weight: 800;
    line-height: 1.2;
  }
  .note {
    display: flex;
    gap: 6px;
  }
  .note svg {
    flex: none;
  }
  @media (min-width: 860px) {
    form {
      grid-template-columns: minmax(0, 7fr) minmax(0, 5fr);
    }
    .comes {
      position: sticky;
      inset-block-start: 8px;
    }
  }
`;
