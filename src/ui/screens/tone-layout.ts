/** Where choices, shots and their fields stand on the screen of the tone response. */
import { css } from 'lit';

export const toneLayout = css`
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: 8px;
    margin-block-start: 12px;
  }
  .bar .row {
    margin: 0;
  }
  fieldset {
    margin: 12px 0 0;
    padding: 0;
    border: 0;
  }
  legend {
    padding: 0;
    font-weight: 600;
  }
  .quiet {
    margin-block-start: 8px;
  }
  .fields {
    display: grid;
    grid-template-columns: repeat(auto-fit, minmax(min(140px, 100%), 1fr));
    gap: 12px;
    margin-block-start: 12px;
  }
  .values {
    margin-block-start: 12px;
  }
  h3 + p {
    margin-block-start: 8px;
  }
  .live {
    margin-block-start: 12px;
    background: var(--control-deep);
  }
  .shot {
    display: grid;
    grid-template-columns: minmax(0, 1fr) auto auto;
    align-items: end;
    gap: 8px;
    padding-block: 8px;
    border-block-start: 1px solid var(--rule);
  }
  .shot p {
    overflow-wrap: anywhere;
  }
  .typed {
    display: flex;
    flex-wrap: wrap;
    align-items: end;
    gap: 8px;
  }
  .typed label {
    inline-size: 134px;
  }
  .typed label + label {
    inline-size: 76px;
  }
  .shot.many {
    grid-template-columns: minmax(0, 1fr) auto;
  }
  .shot.many p {
    grid-column: 1 / -1;
  }
  .shot p .quiet {
    display: block;
    margin: 0;
  }
  @media (max-width: 500px) {
    .shot {
      grid-template-columns: minmax(0, 1fr) auto;
    }
    .shot p {
      grid-column: 1 / -1;
    }
  }
`;
