in vec2 along_across;
in float span;
uniform vec4 colour;
uniform float half_width;
uniform float grain;
layout (location = 0) out vec4 outcome;

float speck(vec2 p) {
    return fract(sin(dot(floor(p), vec2(41.31, 289.17))) * 21731.37);
}

void main() {
    float beyond = along_across.x - clamp(along_across.x, 0.0, span);
    float away = length(vec2(beyond, along_across.y));
    float cover = 1.0 - smoothstep(half_width - 0.5, half_width + 0.5, away);
    float chalky = 1.0 - grain * speck(gl_FragCoord.xy);
    outcome = vec4(colour.rgb, colour.a * cover * chalky);
}
