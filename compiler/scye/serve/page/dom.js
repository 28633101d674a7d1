// Making elements.

const SVG = 'http://www.w3.org/2000/svg';

export function el(name, properties = {}, ...children) {
  const made = document.createElement(name);
  Object.assign(made, properties);
  made.append(...children);
  return made;
}

export function draw(name, attributes = {}, ...children) {
  const made = document.createElementNS(SVG, name);
  set(made, attributes);
  made.append(...children);
  return made;
}

// Attributes that are so already are left, so that nothing is painted again for them.
export function set(element, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    const text = String(value);
    if (element.getAttribute(name) !== text) element.setAttribute(name, text);
  }
}

export function put(element, children) {
  element.replaceChildren(...children);
}
