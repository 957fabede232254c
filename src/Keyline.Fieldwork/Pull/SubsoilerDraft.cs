using Keyline.Field;

namespace Keyline.Fieldwork;

/// <summary>Texture of the soil, as the draft standard divides it.</summary>
public enum SoilTexture
{
    /// <summary>Fine: clays.</summary>
    Fine,

    /// <summary>Medium: loams.</summary>
    Medium,

    /// <summary>Coarse: sands.</summary>
    Coarse,
}

/// <summary>A row of the draft standard's table: force for a tool, or for a metre of width, and a centimetre of depth.</summary>
/// <param name="A">Part that does not change with speed, newtons.</param>
/// <param name="B">Part that grows with speed, newtons for each km/h.</param>
/// <param name="C">Part that grows with the speed's square, newtons for each (km/h)².</param>
/// <param name="Fine">Factor on fine soil.</param>
/// <param name="Medium">Factor on medium soil.</param>
/// <param name="Coarse">Factor on coarse soil.</param>
/// <param name="Range">How far the draft of a field may lie off either way, share.</param>
public readonly record struct DraftRow(double A, double B, double C, double Fine, double Medium, double Coarse, double Range)
{
    /// <summary>The factor of a texture.</summary>
    /// <param name="soil">The texture.</param>
    public double FactorOf(SoilTexture soil) => soil switch { SoilTexture.Fine => Fine, SoilTexture.Medium => Medium, _ => Coarse };
}

/// <summary>The force it takes to draw shanks through the ground.</summary>
/// <remarks>
/// <para>Units: newtons, metres, metres a second. Promises: the middle of the range; a field may take half as much more or less
/// (<see cref="DraftRow.Range"/>). Depths beyond about half a metre lie past the field trials behind the table. Cost: constant.</para>
/// <para>Source: ASABE D497, Agricultural Machinery Management Data, section 4 and table 1: D = F (A + B S + C S²) W T with S in km/h,
/// W tools or metres, T in centimetres; rows of subsoilers and manure injectors, from memory and as transcribed in public code.</para>
/// </remarks>
public static class SubsoilerDraft
{
    /// <summary>Subsoiler with narrow points, for each tool.</summary>
    public static DraftRow NarrowPoint { get; } = new(226, 0, 1.8, 1.0, 0.70, 0.45, 0.5);

    /// <summary>Subsoiler with winged points 30 cm wide, for each tool.</summary>
    public static DraftRow WingedPoint { get; } = new(294, 0, 2.4, 1.0, 0.70, 0.45, 0.5);

    /// <summary>The row of a kind of tip.</summary>
    /// <param name="tip">The tip.</param>
    public static DraftRow RowOf(TipKind tip) => tip == TipKind.Winged ? WingedPoint : NarrowPoint;

    /// <summary>Draft of an implement.</summary>
    /// <param name="row">The table's row.</param>
    /// <param name="soil">Texture of the soil.</param>
    /// <param name="tools">Tools, or metres of width where the row is for those.</param>
    /// <param name="depth">Depth, metres.</param>
    /// <param name="speed">Speed over the ground, metres a second.</param>
    /// <returns>Newtons.</returns>
    public static double Newtons(DraftRow row, SoilTexture soil, double tools, double depth, double speed)
    {
        double s = speed * 3.6;
        return row.FactorOf(soil) * (row.A + (row.B * s) + (row.C * s * s)) * tools * (100 * depth);
    }

    /// <summary>Draft of a machine's implement.</summary>
    /// <param name="implement">The implement.</param>
    /// <param name="soil">Texture of the soil.</param>
    /// <param name="speed">Speed over the ground, metres a second.</param>
    /// <returns>Newtons.</returns>
    public static double Newtons(Implement implement, SoilTexture soil, double speed)
    {
        ArgumentNullException.ThrowIfNull(implement);
        return Newtons(RowOf(implement.Tip), soil, implement.Shanks, implement.Depth, speed);
    }
}
