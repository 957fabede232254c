namespace Keyline.Fieldwork;

/// <summary>One outcome of the ball and thread test.</summary>
/// <param name="Title">What is seen, short.</param>
/// <param name="Words">What is seen, and what it means.</param>
/// <param name="State">What it says of ripping.</param>
/// <param name="Drawing">A small drawing, SVG.</param>
public sealed record BallOutcome(string Title, string Words, SoilState State, string Drawing);

/// <summary>The ball and thread test on soil from the depth of the tip: no figure reckoned from weather comes before it.</summary>
/// <remarks>
/// <para>Cost: none. Source: common practice in many guides to soil work; that a thread of 3 mm which just crumbles marks the plastic limit is ASTM D4318 (from memory).
/// Drawings: ours.</para>
/// </remarks>
public static class BallTest
{
    /// <summary>How it is done.</summary>
    public const string How = "Dig to the depth of the tip, and at two depths above it, in three places of the field: a hollow, a slope and a ridge. Take a handful, press it to a ball, and roll a piece "
        + "of it between palm and board to a thread as thick as a pencil lead (3 mm). The wettest depth and place decides.";

    private const string Frame = "<svg viewBox=\"0 0 120 70\" role=\"img\" aria-label=\"{0}\"><rect x=\"0.5\" y=\"0.5\" width=\"119\" height=\"69\" fill=\"#fff\" stroke=\"#c9ced2\"/>{1}</svg>";
    private const string Ground = "<path d=\"M8 60H112\" stroke=\"#8a6f52\" stroke-width=\"1.5\"/>";

    /// <summary>Its outcomes, from dry to wet.</summary>
    public static IReadOnlyList<BallOutcome> Outcomes { get; } =
    [
        new("Powder or hard blocks", "It will not hold as a ball: dust between blocks that do not break by hand. Too dry: the shank lifts slabs and the pull is great.", SoilState.TooDry, Drawn("powder and a block",
            "<path d=\"M30 59L34 34L58 30L66 46L60 59Z\" fill=\"#d9c7a8\" stroke=\"#5b4630\"/><path d=\"M36 40l12 -4M44 52l14 -2\" stroke=\"#5b4630\" stroke-width=\"0.8\"/><g fill=\"#b79d78\"><circle cx=\"76\" cy=\"57\" r=\"2\"/><circle cx=\"84\" cy=\"58\" r=\"1.4\"/><circle cx=\"90\" cy=\"56\" r=\"1.7\"/><circle cx=\"98\" cy=\"58\" r=\"1.2\"/><circle cx=\"80\" cy=\"53\" r=\"1.1\"/><circle cx=\"103\" cy=\"57\" r=\"1.5\"/></g>")),
        new("Crumbles", "It holds as a ball and falls to crumbs when pressed with a finger; a thread breaks before it is 3 mm thick. Below the plastic limit: right for ripping.", SoilState.Right, Drawn("a ball that crumbles",
            "<path d=\"M34 58A18 18 0 0 1 68 46L60 50L64 58Z\" fill=\"#a9835a\" stroke=\"#5b4630\"/><g fill=\"#a9835a\" stroke=\"#5b4630\" stroke-width=\"0.8\"><path d=\"M72 58l2 -6l7 -1l3 7z\"/><path d=\"M87 58l3 -5l5 2l1 3z\"/><path d=\"M70 48l4 -5l5 3l-3 4z\"/></g><path d=\"M78 14V34M72 28l6 7l6 -7\" fill=\"none\" stroke=\"#1d242b\" stroke-width=\"1.5\"/>")),
        new("Rolls and just crumbles", "It rolls to a thread of 3 mm that cracks and falls apart just then. At the plastic limit: wait, or rip one test line, dig across it and look for smeared walls.", SoilState.TooWet, Drawn("a thread that breaks",
            "<g fill=\"#8f6a43\" stroke=\"#5b4630\" stroke-width=\"0.8\"><rect x=\"18\" y=\"50\" width=\"24\" height=\"6\" rx=\"3\"/><rect x=\"45\" y=\"51\" width=\"15\" height=\"6\" rx=\"3\"/><rect x=\"63\" y=\"49\" width=\"20\" height=\"6\" rx=\"3\"/><rect x=\"87\" y=\"51\" width=\"13\" height=\"6\" rx=\"3\"/></g><path d=\"M42 46l2 3M61 46l1 3M84 45l2 3\" stroke=\"#1d242b\"/>")),
        new("Long thread, or smears", "It rolls to a long thin thread, sticks to the fingers, or shines where a spade cut it. Too wet: the shank cuts a smeared slot that closes, and wheels press the soil together.", SoilState.TooWet, Drawn("a long thread in coils",
            "<path d=\"M14 54C30 20 46 62 58 40S84 58 92 34S106 40 108 52\" fill=\"none\" stroke=\"#5b4630\" stroke-width=\"6\" stroke-linecap=\"round\"/><path d=\"M14 54C30 20 46 62 58 40S84 58 92 34S106 40 108 52\" fill=\"none\" stroke=\"#7a5633\" stroke-width=\"4.4\" stroke-linecap=\"round\"/>")),
    ];

    private static string Drawn(string what, string inside) => Frame.Replace("{0}", what, StringComparison.Ordinal).Replace("{1}", Ground + inside, StringComparison.Ordinal);
}
