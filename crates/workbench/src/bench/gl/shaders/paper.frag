// The paper behind everything.
in vec2 at;
uniform vec3 top;
uniform vec3 foot;
layout (location = 0) out vec4 outcome;

float grain(vec2 p) {
    return fract(sin(dot(p, vec2(12.9898, 78.233))) * 43758.5453);
}

void main() {
    vec3 c = mix(foot, top, smoothstep(0.0, 1.0, at.y));
    outcome = vec4(c + (grain(gl_FragCoord.xy) - 0.5) * 0.012, 1.0);
}
