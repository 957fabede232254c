using Keyline.Console.Cli;

namespace Keyline.Console.Tiles;

/// <summary>The stages in which the drainage of large ground is made tile by tile, in their order.</summary>
internal enum TileStage
{
    /// <summary>Every tile filled within itself; then the levels of all joined.</summary>
    Fill,

    /// <summary>Every tile raised to its levels and routed; then the flow of all joined.</summary>
    Route,

    /// <summary>Every tile's directions and area written.</summary>
    Finish,
}

/// <summary>The words of the stages.</summary>
internal static class TileStages
{
    /// <summary>The words in the order of the stages.</summary>
    public static readonly string[] Words = ["fill", "route", "finish"];

    /// <summary>What came of a tile in a stage, for sentences.</summary>
    public static string Done(this TileStage stage) => stage switch { TileStage.Fill => "filled", TileStage.Route => "routed", _ => "finished" };

    public static string Word(this TileStage stage) => Words[(int)stage];

    /// <summary>Reads the stage asked for.</summary>
    /// <exception cref="UsageException">It is none.</exception>
    public static TileStage Of(Setting setting)
    {
        int at = Array.IndexOf(Words, setting.Text.Trim());
        return at >= 0 ? (TileStage)at : throw new UsageException($"{setting.Where} is \"{setting.Text.Trim()}\": write fill, route or finish, which come in that order.");
    }
}
