namespace Keyline.Landform;

/// <summary>One valley of a network as cells, from its head to where it joins a larger one.</summary>
internal sealed class Stem
{
    public required int Id { get; init; }

    /// <summary>Cells from head to foot; where the stem joins another, the last cell is that other's.</summary>
    public required List<int> Cells { get; init; }

    /// <summary>The stem joined, or -1.</summary>
    public required int Joins { get; set; }

    /// <summary>Ground drained through the last cell of its own, square metres; for a stem that leaves the grid, with that of
    /// water running out close beside it.</summary>
    public required double Area { get; set; }

    /// <summary>Strahler order at the foot.</summary>
    public int Order { get; set; } = 1;

    /// <summary>Number of stems that join this one.</summary>
    public int Tributaries { get; set; }

    /// <summary>Cells that are its own.</summary>
    public int OwnCells => Joins >= 0 ? Cells.Count - 1 : Cells.Count;
}
